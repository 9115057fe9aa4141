//! Pitches as they come and go, and the string each of them is on.

use super::distinct::{MOST_PITCHES, MOST_STRINGS};
use super::pitch::Pitch;
use super::score::Scorer;
use crate::following::room::Room;
use crate::following::templates::Templates;
use crate::string::StiffString;

/// Names strings by their stiffness. Allocates nothing after [`Tracker::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Tracker {
    pub(super) strings: Vec<StiffString>,
    /// Semitones of each open string above the lowest.
    pub(super) open: Vec<usize>,
    pub(super) scorer: Scorer,
    pub(super) patience: Patience,
    /// How many frames were listened to.
    frame: u32,
    /// One per semitone.
    pub(super) pitches: Vec<Pitch>,
    /// Strength of each semitone in the newest frame.
    pub(super) strength: Vec<f32>,
    /// The semitones that sound, strongest first.
    pub(super) sounding: Room<usize>,
    /// Where among them scoring goes on.
    pub(super) turn: usize,
    /// Per note: by what its activation is multiplied.
    pub(super) factors: Vec<f32>,
}

/// How long something is kept in mind, and how far is looked for it.
#[derive(Debug, Clone, Copy)]
pub(in crate::following) struct Patience {
    /// What was found about a note is forgotten by this factor a frame.
    pub(super) keep: f32,
    /// How far beside a documented pitch is looked, in cents.
    reach_cents: i32,
}

impl Patience {
    /// As a take plays: the study's values.
    pub(in crate::following) const LIVE: Self = Self { keep: 0.97, reach_cents: 36 };
    /// With the whole take known nothing about a note is forgotten, and pitches are followed from one semitone to the next.
    pub(in crate::following) const WHOLE: Self = Self { keep: 1.0, reach_cents: 52 };
}

/// A string at a fret that is heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeardNote {
    /// The string, 0 for the lowest.
    pub string: usize,
    /// The fret, 0 for the open string.
    pub fret: usize,
    /// How sure the string is, 0 to 1.
    pub certainty: f32,
    /// How far it sounds above its documented pitch, in cents.
    pub cents: f32,
}

/// Semitones between a tone and its overtones that another string may play, and the partial that is.
const OVERTONES: [(usize, usize); 5] = [(12, 2), (19, 3), (24, 4), (28, 5), (31, 6)];

impl Tracker {
    /// A pitch below this share of all activation does not sound.
    const LEAST: f32 = 0.05;
    /// Mean best score of a pitch whose partials fit a string at all. On the eight takes of which the truth is known 44 of 4817 right
    /// notes are below it and 189 of 1183 wrong ones; of what is heard in noise, nine tenths.
    const HEARD: f32 = 5.0;
    /// Evidence by which an overtone has to be better explained as a note of its own, when it is as strong as the note below;
    /// more for each halving.
    const GHOST_MARGIN: f32 = 1.0;

    /// For strings as they are tuned open.
    pub(in crate::following) fn new(strings: &[StiffString], templates: &Templates, patience: Patience) -> Self {
        let highest = templates.pitches.iter().copied().max().unwrap_or(0);
        Self {
            strings: strings.to_vec(),
            open: (0..strings.len()).map(|string| templates.pitches[string * Templates::FRETS]).collect(),
            scorer: Scorer::new(patience.reach_cents),
            patience,
            frame: 0,
            pitches: vec![Pitch::silent(); highest + 1],
            strength: vec![0.0; highest + 3],
            sounding: Room::for_up_to(MOST_PITCHES),
            turn: 0,
            factors: vec![1.0; templates.pitches.len()],
        }
    }

    /// Forgets everything.
    pub(in crate::following) fn forget(&mut self) {
        self.pitches.fill(Pitch::silent());
        self.factors.fill(1.0);
        self.sounding.clear();
        (self.turn, self.frame) = (0, 0);
    }

    /// Whether strings can be named at all.
    pub(in crate::following) fn is_possible(&self) -> bool {
        self.strings.len() <= MOST_STRINGS
    }

    /// Per note: by what its activation is to be multiplied.
    pub(in crate::following) fn factors(&self) -> &[f32] {
        &self.factors
    }

    /// The notes that are heard, as far as they have a name.
    pub(in crate::following) fn heard(&self) -> impl Iterator<Item = HeardNote> + '_ {
        let named = self.sounding.iter().map(|&semitone| (semitone, &self.pitches[semitone]));
        let fits = |pitch: &Pitch| pitch.places.nowhere < 0.5 && pitch.evidence > Self::HEARD * pitch.count;
        named.filter(move |(_, pitch)| !pitch.ghost && pitch.count > 0.25 && fits(pitch)).map(|(semitone, pitch)| {
            let string = pitch.string(self.strings.len());
            let fret = semitone.saturating_sub(self.open[string]);
            HeardNote { string, fret, certainty: pitch.places.on[string], cents: pitch.cents }
        })
    }

    /// Takes the activations of a frame, and how loud it is: which pitches sound, and which are new.
    pub(in crate::following) fn listen(&mut self, templates: &Templates, activations: &[f32], level: f32) {
        self.strength.fill(0.0);
        let notes = activations[..templates.count()].chunks_exact(Templates::PER_NOTE);
        for (activations, &semitone) in notes.zip(&templates.pitches) {
            self.strength[semitone + 1] += activations.iter().sum::<f32>();
        }
        let total: f32 = self.strength.iter().sum::<f32>() + 1e-9;
        self.sounding.clear();
        let mut least = f32::INFINITY;
        for _ in 0..MOST_PITCHES {
            let next = (0..self.pitches.len())
                .map(|semitone| (semitone, self.strength[semitone + 1]))
                .filter(|&(semitone, strength)| {
                    strength < least
                        && strength > Self::LEAST * total
                        && strength >= self.strength[semitone]
                        && strength >= self.strength[semitone + 2]
                })
                .max_by(|a, b| a.1.total_cmp(&b.1));
            let Some((semitone, strength)) = next else { break };
            self.sounding.push(semitone);
            least = strength;
        }
        for semitone in 0..self.pitches.len() {
            let (sounds, strength) = (self.sounding.contains(&semitone), self.strength[semitone + 1]);
            self.pitches[semitone].age(self.frame, sounds, strength * level);
        }
        self.frame += 1;
        self.relate();
    }

    /// Takes a frame in which nothing can be told.
    pub(in crate::following) fn rest(&mut self) {
        self.sounding.clear();
        self.strength.fill(0.0);
        for pitch in &mut self.pitches {
            pitch.age(self.frame, false, 0.0);
        }
        self.frame += 1;
    }

    /// Finds which pitches may be overtones of others, and which are.
    fn relate(&mut self) {
        for semitone in 0..self.pitches.len() {
            let mut below: Option<(usize, usize)> = None;
            if self.pitches[semitone].known {
                for (interval, partial) in OVERTONES {
                    let Some(low) = semitone.checked_sub(interval).filter(|&low| self.pitches[low].known) else {
                        continue;
                    };
                    let strength = |semitone: usize| self.strength[semitone + 1];
                    if strength(low) > 0.15 * strength(semitone)
                        && below.is_none_or(|(other, _)| strength(low) > strength(other))
                    {
                        below = Some((low, partial));
                    }
                }
            }
            let ghost = below.is_some_and(|(low, partial)| self.is_overtone(semitone, low, partial));
            let pitch = &mut self.pitches[semitone];
            (pitch.below, pitch.ghost) = (below.map(|(low, _)| low), ghost);
        }
    }

    /// Whether what sounds at `high` is better explained by the string that plays `low`: the best explanation with one
    /// string against the best with two.
    fn is_overtone(&self, high: usize, low: usize, partial: usize) -> bool {
        let (lower, upper) = (&self.pitches[low], &self.pitches[high]);
        let own = |string: usize| lower.without[partial - 2][string] / lower.count.max(0.3);
        let extended = |string: usize| upper.unmasked[string] / upper.unmasked_count.max(0.3);
        let (mut one, mut two) = (f32::MIN, f32::MIN);
        for first in (0..self.strings.len()).filter(|&string| self.fret(low, string).is_some()) {
            for second in (0..self.strings.len()).filter(|&string| high >= self.open[string]) {
                let both = own(first) + extended(second);
                if first == second {
                    one = one.max(both);
                } else if self.fret(high, second).is_some() {
                    two = two.max(both);
                }
            }
        }
        let fainter = ((self.strength[low + 1] + 1e-9) / (self.strength[high + 1] + 1e-9)).log2().clamp(-2.0, 3.0);
        one - two + Self::GHOST_MARGIN + fainter >= 0.0
    }

    /// How many pitches wait to be scored in this frame: at most `most`, the rest in the frames after.
    pub(in crate::following) fn rounds(&self, most: usize) -> usize {
        self.sounding.len().min(most)
    }

    /// A string at a fret, and how far it is pulled above that, in cents.
    pub(super) fn candidate(&self, string: usize, fret: usize, cents: f32) -> StiffString {
        self.strings[string].fretted(fret as f64).stretched((f64::from(cents) / 1200.0).exp2())
    }

    /// The fret at which a string plays a semitone, if it can.
    pub(super) fn fret(&self, semitone: usize, string: usize) -> Option<usize> {
        semitone.checked_sub(self.open[string]).filter(|&fret| fret < Templates::FRETS)
    }

    /// The middle one of the strings that can play a semitone.
    pub(super) fn playable(&self, semitone: usize) -> usize {
        let count = (0..self.strings.len()).filter(|&string| self.fret(semitone, string).is_some()).count();
        let mut possible = (0..self.strings.len()).filter(|&string| self.fret(semitone, string).is_some());
        possible.nth(count / 2).unwrap_or(0)
    }
}
