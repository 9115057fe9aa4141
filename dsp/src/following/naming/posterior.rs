//! From evidence to names.

use super::distinct::{MOST_PITCHES, MOST_STRINGS, Places, make_distinct};
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
    /// How well the best string explains what is heard of late.
    present: f32,
    /// Above its documented pitch, per string that it may be on, in cents.
    pub(in crate::following) cents: [f32; MOST_STRINGS],
    /// Whether it is taken for an overtone.
    pub(in crate::following) ghost: bool,
    /// How strong it is, against the strongest in the frame.
    pub(in crate::following) strength: f32,
}

impl NoteEvidence {
    /// So many times better than the pluck that it seems to come from a note is explained that is a note of its own.
    const OF_ITS_OWN: f32 = 2.0;

    /// Mean score of the string that explains it best.
    pub(in crate::following) fn best(&self) -> f32 {
        self.score.iter().fold(0.0, |max, &score| max.max(score))
    }

    /// What is known about a note that seems to come from another: what is known about that, unless that was hardly a note.
    pub(in crate::following) fn or_of_origin(&self, origin: &Self) -> Self {
        if self.best() > Self::OF_ITS_OWN * origin.best() { *self } else { *origin }
    }
}

impl Tracker {
    /// Least factor of a string that is not the one.
    const FLOOR: f32 = 1e-3;
    /// Evidence that is worth anything.
    const LEAST_COUNT: f32 = 0.25;
    /// Score below which a pitch is rather nobody's.
    const NOWHERE: f32 = 4.0;

    /// Works out where every pitch is, and from that the factors. `known` is what is known about the pluck that a pitch comes from, if
    /// it does not speak for itself: a string that is bent stays the string that it is, whatever the pitch it passes may look like.
    pub(in crate::following) fn name(
        &mut self,
        templates: &Templates,
        known: impl Fn(u32, &NoteEvidence) -> Option<NoteEvidence>,
    ) {
        let mut together = [Places::UNKNOWN; MOST_PITCHES];
        let mut members = [0; MOST_PITCHES];
        let mut count = 0;
        for semitone in 0..self.pitches.len() {
            let Some(note) = self.evidence(semitone).filter(|note| !note.ghost) else { continue };
            let note = known(self.pitches[semitone].plucked, &note).unwrap_or(note);
            let places = self.places(&note);
            self.pitches[semitone].places = places;
            if self.pitches[semitone].idle == 0 {
                (together[count], members[count]) = (places, semitone);
                count += 1;
            }
        }
        make_distinct(&mut together[..count], self.strings.len());
        for (semitone, places) in members.iter().zip(together).take(count) {
            self.pitches[*semitone].places = places;
        }
        self.factors.fill(1.0);
        for semitone in 0..self.pitches.len() {
            // What is taken for an overtone keeps every chance: where it is a note after all, as in power chords, the loss
            // would be larger than the gain.
            if self.evidence(semitone).is_some_and(|note| !note.ghost) {
                let places = self.pitches[semitone].places;
                set_factors(templates, semitone, &places, &mut self.factors);
            }
        }
    }

    /// What is known about a pitch, if that is anything.
    fn evidence(&self, semitone: usize) -> Option<NoteEvidence> {
        let pitch: &Pitch = &self.pitches[semitone];
        (pitch.known && pitch.count > Self::LEAST_COUNT).then(|| NoteEvidence {
            semitone,
            score: pitch.score.map(|score| score / pitch.count),
            // With the whole take known, all frames are of late.
            present: if self.patience.keep < 1.0 { pitch.present } else { pitch.evidence / pitch.count },
            cents: pitch.cents_on,
            ghost: pitch.ghost,
            strength: self.strength[semitone + 1] / self.strongest(),
        })
    }

    fn strongest(&self) -> f32 {
        self.sounding.first().map_or(1.0, |&semitone| self.strength[semitone + 1])
    }

    /// The notes that are heard now: in which frame each was plucked, and what is known about it.
    pub(in crate::following) fn notes(&self) -> impl Iterator<Item = (u32, NoteEvidence)> + '_ {
        self.sounding.iter().filter_map(|&semitone| Some((self.pitches[semitone].plucked, self.evidence(semitone)?)))
    }

    /// Writes what sounds in a frame, likeliest first: of each note what is heard in it, and all that is known about the pluck it
    /// comes from.
    pub(in crate::following) fn voices(&self, notes: &[(NoteEvidence, NoteEvidence)], voices: &mut Room<Voice>) {
        voices.clear();
        let mut places = [Places::UNKNOWN; MOST_PITCHES];
        let mut order: [usize; MOST_PITCHES] = std::array::from_fn(|place| place);
        let notes = || notes.iter().filter(|(_, plucked)| !plucked.ghost).take(MOST_PITCHES);
        let count = notes().count();
        for (places, (_, plucked)) in places.iter_mut().zip(notes()) {
            *places = self.places(plucked);
        }
        make_distinct(&mut places[..count], self.strings.len());
        let nowhere = |place: usize| places[place].nowhere;
        order[..count].sort_unstable_by(|&a, &b| nowhere(a).total_cmp(&nowhere(b)).then(a.cmp(&b)));
        for &place in &order[..count] {
            if let Some((now, plucked)) = notes().nth(place) {
                self.on_strings(now, plucked, &places[place].on, voices);
            }
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

    /// Where a note is likely to be when nothing else sounds.
    fn places(&self, note: &NoteEvidence) -> Places {
        let possible = |string: &usize| self.fret(note.semitone, *string).is_some();
        let strings = || (0..self.strings.len()).filter(possible);
        let best = strings().map(|string| note.score[string]).fold(f32::MIN, f32::max);
        // Both far from where single precision ends.
        let most = note.present.max(Self::NOWHERE);
        let mut on = [0.0; MOST_STRINGS];
        for string in strings() {
            on[string] = (note.score[string] - best + note.present - most).exp();
        }
        Places::new(on, (Self::NOWHERE - most).exp())
    }
}

fn set_factors(templates: &Templates, semitone: usize, places: &Places, factors: &mut [f32]) {
    let most = places.on.iter().fold(f32::MIN_POSITIVE, |max, &value| max.max(value));
    for (note, factor) in factors.iter_mut().enumerate().filter(|(note, _)| templates.pitches[*note] == semitone) {
        let likely = (places.on[note / Templates::FRETS] / most).max(Tracker::FLOOR);
        *factor = places.nowhere + (1.0 - places.nowhere) * likely;
    }
}
