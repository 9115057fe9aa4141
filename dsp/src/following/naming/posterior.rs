//! From evidence to names.

use super::distinct::{MOST_PITCHES, MOST_STRINGS, make_distinct};
use super::tracker::Tracker;
use crate::following::templates::Templates;

impl Tracker {
    /// Least factor of a string that is not the one.
    const FLOOR: f32 = 1e-3;

    /// Works out the posterior of every pitch, and from it the factors.
    pub(in crate::following) fn name(&mut self, templates: &Templates) {
        let strings = self.strings.len();
        self.factors.fill(1.0);
        let mut together = [[0.0; MOST_STRINGS]; MOST_PITCHES];
        let mut members = [0; MOST_PITCHES];
        let mut count = 0;
        for semitone in 0..self.pitches.len() {
            let pitch = &self.pitches[semitone];
            if !pitch.known || pitch.ghost || pitch.count <= 0.25 {
                continue;
            }
            let mut weights = [0.0; MOST_STRINGS];
            let score = |string: usize| pitch.score[string] / pitch.count;
            let possible = |string: &usize| self.fret(semitone, *string).is_some();
            let best = (0..strings).filter(possible).map(score).fold(f32::MIN, f32::max);
            for string in (0..strings).filter(possible) {
                weights[string] = (score(string) - best).exp();
            }
            let sum: f32 = weights.iter().sum();
            weights.iter_mut().for_each(|weight| *weight /= sum.max(f32::MIN_POSITIVE));
            self.pitches[semitone].posterior = weights;
            let pitch = &self.pitches[semitone];
            if count < MOST_PITCHES && pitch.idle == 0 && pitch.evidence > 3.0 * pitch.count {
                (together[count], members[count]) = (weights, semitone);
                count += 1;
            }
        }
        if count > 1 {
            make_distinct(&mut together[..count], strings);
            for (semitone, weights) in members.iter().zip(together).take(count) {
                self.pitches[*semitone].posterior = weights;
            }
        }
        for (note, factor) in self.factors.iter_mut().enumerate() {
            let (semitone, string) = (templates.pitches[note], note / Templates::FRETS);
            let pitch = &self.pitches[semitone];
            // What is taken for an overtone keeps every chance: where it is a note after all, as in power chords, the loss
            // would be larger than the gain.
            if pitch.known && !pitch.ghost && pitch.count > 0.25 {
                let most = pitch.posterior.iter().fold(0.0f32, |max, &value| max.max(value));
                *factor = (pitch.posterior[string] / most.max(f32::MIN_POSITIVE)).max(Self::FLOOR);
            }
        }
    }
}
