//! What a frame says about the strings that a pitch may be on.

use super::distinct::MOST_STRINGS;
use super::peaks::Peaks;
use super::pitch::MULTIPLES;
use super::score::PARTIALS;
use super::tracker::Tracker;
use crate::following::templates::Templates;

impl Tracker {
    /// Partials nearer than this to another pitch's, in bins, say nothing.
    const MASKED_BINS: f32 = 1.6;
    /// Partials of the other pitch are looked at up to here, in hertz, above all that is scored; so many there are at most, on the
    /// lowest string of a bass.
    const MASKING_HERTZ: f64 = 7000.0;
    const MASKING: usize = 176;

    /// Scores the next pitch that sounds.
    pub(in crate::following) fn score_next(&mut self, short: &Peaks, long: &Peaks) {
        if self.sounding.is_empty() {
            return;
        }
        // What is new comes first; else they take turns.
        let newest = self.sounding.iter().position(|&semitone| self.pitches[semitone].is_urgent());
        let place = newest.unwrap_or(self.turn % self.sounding.len());
        self.turn = self.turn.wrapping_add(1);
        let semitone = self.sounding[place];
        self.pitches[semitone].waiting = false;
        if self.pitches[semitone].ghost && !self.pitches[semitone].frames.is_multiple_of(3) {
            return;
        }
        let mut sum = Evidence::default();
        let long_enough = self.pitches[semitone].frames > 5;
        let shares = if long_enough { [0.5, 0.5] } else { [0.65, 0.0] };
        for (peaks, share) in [short, long].into_iter().zip(shares) {
            if share > 0.0 && peaks.count() > 1 {
                self.add(semitone, peaks, share, &mut sum);
            }
        }
        self.keep(semitone, &sum);
    }

    /// Adds a frame's evidence about a pitch.
    fn add(&self, semitone: usize, peaks: &Peaks, share: f32, sum: &mut Evidence) {
        let own = &self.pitches[semitone];
        let mut masks = [[true; PARTIALS]; 2];
        for other in (0..self.pitches.len()).filter(|&other| other != semitone && self.masks(semitone, other)) {
            let clear = self.clear(semitone, other, peaks.bin_hertz() * Self::MASKED_BINS);
            let of_low = own.below == Some(other);
            for mask in masks.iter_mut().take(if of_low { 1 } else { 2 }) {
                mask.iter_mut().zip(clear).for_each(|(mask, clear)| *mask &= clear);
            }
        }
        for string in 0..self.strings.len() {
            let Some(fret) = semitone.checked_sub(self.open[string]) else { continue };
            let candidate = self.candidate(string, fret, 0.0);
            let score = self.scorer.score(peaks, candidate, &masks[0]);
            sum.score[string] += share * score.sum;
            let playable = fret < Templates::FRETS;
            if playable && score.sum > sum.best[string] {
                (sum.best[string], sum.cents[string]) = (score.sum, score.cents);
            }
            let counted = |wanted: &dyn Fn(usize) -> bool| -> f32 {
                let partials = score.partials.iter().enumerate();
                partials.filter(|&(i, _)| wanted(i)).map(|(_, value)| value).sum::<f32>() - score.penalty
            };
            sum.unmasked[string] += share * counted(&|i| masks[1][i]);
            for (place, of_multiple) in sum.without.iter_mut().enumerate() {
                of_multiple[string] += share * counted(&|i| masks[0][i] && !(i + 1).is_multiple_of(place + 2));
            }
        }
    }

    /// Whether another pitch is sure enough to mask partials of this one.
    fn masks(&self, semitone: usize, other: usize) -> bool {
        let pitch = &self.pitches[other];
        pitch.known
            && !pitch.ghost
            && pitch.places.nowhere < 0.5
            && (pitch.evidence > 3.0 * pitch.count || self.strength[other + 1] > 1.5 * self.strength[semitone + 1])
    }

    /// Which partials of a pitch do not lie near another's, whichever strings they are on.
    fn clear(&self, semitone: usize, other: usize, within: f32) -> [bool; PARTIALS] {
        let masking = self.pitches[other].string_or(|| self.playable(other), self.strings.len());
        let fret = other.saturating_sub(self.open[masking]);
        let of_other = self.candidate(masking, fret, self.pitches[other].cents);
        let last = (Self::MASKING_HERTZ / of_other.fundamental) as usize;
        let partial = |n: usize| if n <= last { of_other.partial(n) } else { f64::INFINITY };
        let partials: [f64; Self::MASKING] = std::array::from_fn(partial);
        let mut clear = [true; PARTIALS];
        for string in (0..self.strings.len()).filter(|&string| self.fret(semitone, string).is_some()) {
            let own = self.candidate(string, semitone - self.open[string], self.pitches[semitone].cents);
            for (i, clear) in clear.iter_mut().enumerate() {
                let hertz = own.partial(i + 1);
                // Stretched partials lie above n f0: the nearest is n or one or two below.
                let n = (hertz / of_other.fundamental).round() as usize;
                let beside = partials.get(n.saturating_sub(2).max(1)..=n).unwrap_or_default();
                let near = beside.iter().any(|partial| (partial - hertz).abs() < f64::from(within));
                *clear &= !near;
            }
        }
        clear
    }

    /// Keeps evidence about a pitch.
    fn keep(&mut self, semitone: usize, sum: &Evidence) {
        let strings = self.strings.len();
        let playable: [bool; MOST_STRINGS] =
            std::array::from_fn(|string| string < strings && self.fret(semitone, string).is_some());
        let best = |scores: &[f32; MOST_STRINGS]| {
            let possible = scores.iter().zip(playable).filter(|(_, possible)| *possible);
            possible.map(|(&score, _)| score).fold(f32::MIN, f32::max)
        };
        let (keep, pitch) = (self.patience.keep, &mut self.pitches[semitone]);
        if pitch.frames < 2 {
            return;
        }
        pitch.keep(sum, best(&sum.score), keep);
        pitch.cents_on = sum.cents;
        let named =
            (0..strings).filter(|&string| playable[string]).max_by(|&a, &b| sum.best[a].total_cmp(&sum.best[b]));
        if let Some(string) = named {
            pitch.cents = sum.cents[string];
        }
    }
}

/// What one frame says about a pitch, per string.
#[derive(Debug, Clone, Default)]
pub(super) struct Evidence {
    pub(super) score: [f32; MOST_STRINGS],
    /// With the partials of the pitch below, of which it may be an overtone.
    pub(super) unmasked: [f32; MOST_STRINGS],
    /// Without every second, third, .. partial.
    pub(super) without: [[f32; MOST_STRINGS]; MULTIPLES],
    best: [f32; MOST_STRINGS],
    cents: [f32; MOST_STRINGS],
}
