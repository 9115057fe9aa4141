//! From evidence to names.

use super::distinct::{MOST_PITCHES, MOST_STRINGS, make_distinct};
use super::pitch::Pitch;
use super::tracker::Tracker;
use crate::following::notes::Voice;
use crate::following::room::Room;
use crate::following::templates::Templates;

/// What is known about a note: a pitch from one pluck to the next.
#[derive(Debug, Clone, Copy)]
pub(in crate::following) struct NoteEvidence {
    /// Semitones above the lowest open string.
    pub(in crate::following) semitone: usize,
    /// Mean score per string.
    score: [f32; MOST_STRINGS],
    /// Whether it is sure enough to be named together with others.
    strong: bool,
    /// Above its documented pitch, per string that it may be on, in cents.
    pub(in crate::following) cents: [f32; MOST_STRINGS],
    /// Whether it is taken for an overtone.
    pub(in crate::following) ghost: bool,
}

impl Tracker {
    /// Least factor of a string that is not the one.
    const FLOOR: f32 = 1e-3;
    /// Evidence that is worth anything.
    const LEAST_COUNT: f32 = 0.25;

    /// Works out the posterior of every pitch, and from it the factors.
    pub(in crate::following) fn name(&mut self, templates: &Templates) {
        let mut together = [[0.0; MOST_STRINGS]; MOST_PITCHES];
        let mut members = [0; MOST_PITCHES];
        let mut count = 0;
        for semitone in 0..self.pitches.len() {
            let Some(note) = self.evidence(semitone).filter(|note| !note.ghost) else { continue };
            let weights = self.weights(&note);
            self.pitches[semitone].posterior = weights;
            if count < MOST_PITCHES && self.pitches[semitone].idle == 0 && note.strong {
                (together[count], members[count]) = (weights, semitone);
                count += 1;
            }
        }
        if count > 1 {
            make_distinct(&mut together[..count], self.strings.len());
            for (semitone, weights) in members.iter().zip(together).take(count) {
                self.pitches[*semitone].posterior = weights;
            }
        }
        self.factors.fill(1.0);
        for semitone in 0..self.pitches.len() {
            // What is taken for an overtone keeps every chance: where it is a note after all, as in power chords, the loss
            // would be larger than the gain.
            if self.evidence(semitone).is_some_and(|note| !note.ghost) {
                let posterior = self.pitches[semitone].posterior;
                set_factors(templates, semitone, &posterior, &mut self.factors);
            }
        }
    }

    /// What is known about a pitch, if that is anything.
    fn evidence(&self, semitone: usize) -> Option<NoteEvidence> {
        let pitch: &Pitch = &self.pitches[semitone];
        (pitch.known && pitch.count > Self::LEAST_COUNT).then(|| NoteEvidence {
            semitone,
            score: pitch.score.map(|score| score / pitch.count),
            strong: pitch.evidence > 3.0 * pitch.count,
            cents: pitch.cents_on,
            ghost: pitch.ghost,
        })
    }

    /// The notes that are heard now: in which frame each was plucked, and what is known about it.
    pub(in crate::following) fn notes(&self) -> impl Iterator<Item = (u32, NoteEvidence)> + '_ {
        self.sounding.iter().filter_map(|&semitone| Some((self.pitches[semitone].plucked, self.evidence(semitone)?)))
    }

    /// Writes what sounds in a frame: of each note what is heard in it, and all that is known about the pluck it comes from.
    pub(in crate::following) fn voices(&self, notes: &[(NoteEvidence, NoteEvidence)], voices: &mut Room<Voice>) {
        voices.clear();
        let mut weights = [[0.0; MOST_STRINGS]; MOST_PITCHES];
        let of = |strong| notes.iter().filter(move |(_, plucked)| !plucked.ghost && plucked.strong == strong);
        let sorted = || of(true).chain(of(false)).take(MOST_PITCHES);
        for (weights, (_, plucked)) in weights.iter_mut().zip(sorted()) {
            *weights = self.weights(plucked);
        }
        let strong = of(true).count().min(MOST_PITCHES);
        if strong > 1 {
            make_distinct(&mut weights[..strong], self.strings.len());
        }
        for (weights, (now, plucked)) in weights.iter().zip(sorted()) {
            self.on_strings(now, plucked, weights, voices);
        }
    }

    /// The voices of a note on every string that it may be on.
    fn on_strings(
        &self,
        now: &NoteEvidence,
        plucked: &NoteEvidence,
        weights: &[f32; MOST_STRINGS],
        voices: &mut Room<Voice>,
    ) {
        /// Strings less likely than this share of the likeliest are left out.
        const UNLIKELY: f32 = 0.02;
        let most = weights.iter().fold(f32::MIN_POSITIVE, |max, &value| max.max(value));
        let bent = 100.0 * (now.semitone as f32 - plucked.semitone as f32);
        let voice = |string: usize| {
            let (fret, likely) = (self.fret(plucked.semitone, string)?, weights[string] / most);
            let ratio = ((bent + now.cents[string]) / 1200.0).exp2();
            (likely > UNLIKELY).then_some(Voice { note: string * Templates::FRETS + fret, ratio, likely })
        };
        voices.extend((0..self.strings.len()).filter_map(voice));
    }

    /// Likelihoods of a note's strings, of sum 1.
    fn weights(&self, note: &NoteEvidence) -> [f32; MOST_STRINGS] {
        let possible = |string: &usize| self.fret(note.semitone, *string).is_some();
        let strings = || (0..self.strings.len()).filter(possible);
        let best = strings().map(|string| note.score[string]).fold(f32::MIN, f32::max);
        let mut weights = [0.0; MOST_STRINGS];
        for string in strings() {
            weights[string] = (note.score[string] - best).exp();
        }
        let sum: f32 = weights.iter().sum();
        weights.map(|weight| weight / sum.max(f32::MIN_POSITIVE))
    }
}

fn set_factors(templates: &Templates, semitone: usize, posterior: &[f32; MOST_STRINGS], factors: &mut [f32]) {
    let most = posterior.iter().fold(0.0f32, |max, &value| max.max(value));
    for (note, factor) in factors.iter_mut().enumerate().filter(|(note, _)| templates.pitches[*note] == semitone) {
        *factor = (posterior[note / Templates::FRETS] / most.max(f32::MIN_POSITIVE)).max(Tracker::FLOOR);
    }
}
