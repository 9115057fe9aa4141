//! How well strings are named: notes by chance of which the truth is known, and what is heard of them as they play.

use dryfit_dsp::document::Guitar;
use dryfit_dsp::filter::Size;
use dryfit_dsp::following::{Follower, HeardNote};
use dryfit_dsp::string::{Note, Performance, StiffString};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

use crate::following::{Make, guitar, take};
use crate::ground_truth::{SAMPLE_RATE, Stand, add_noise};

/// When after its beginning a note is asked for, in seconds.
pub const AFTER: [f64; 4] = [0.05, 0.1, 0.2, 0.4];

/// From one note or chord to the next, in seconds.
const STEP: f64 = 0.6;
/// How long each rings: the hand leaves it a little before.
const LENGTH: f64 = 0.57;
/// From string to string of a chord, in seconds.
const STRUM: f64 = 0.006;
/// Highest fret of single notes, as in the recordings of the study.
const HIGHEST: u8 = 12;

/// What is played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Material {
    /// Every string at every fret up to the twelfth, one after the other, in any order.
    SingleNotes,
    /// So many strings at once, wherever one hand reaches; no two at one pitch.
    Stops(usize),
    /// Root and fifth, or root, fifth and octave, on the three lowest strings and the ones above.
    PowerChords,
}

impl Material {
    /// A performance by chance.
    pub fn performance(self, guitar: &Guitar, seed: u64) -> Performance {
        let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x6e61_6d65);
        let chords: Vec<Vec<(usize, u8)>> = match self {
            Self::SingleNotes => single_notes(guitar, &mut random),
            Self::Stops(count) => (0..40).map(|_| stop(guitar, count, &mut random)).collect(),
            Self::PowerChords => (0..40).map(|_| power_chord(&mut random)).collect(),
        };
        let chord = |(place, chord): (usize, Vec<(usize, u8)>)| {
            let start = 0.05 + STEP * place as f64;
            let strum = chord.into_iter().enumerate();
            strum.map(move |(up, (string, fret))| Note::new(start + STRUM * up as f64, LENGTH, string, fret))
        };
        Performance { notes: chords.into_iter().enumerate().flat_map(chord).collect() }
    }
}

fn single_notes(guitar: &Guitar, random: &mut ChaCha8Rng) -> Vec<Vec<(usize, u8)>> {
    let all = |string| (0..=HIGHEST).map(move |fret| vec![(string, fret)]);
    let mut notes: Vec<_> = (0..guitar.strings.len()).flat_map(all).collect();
    notes.shuffle(random);
    notes
}

/// Distinct strings within reach of a hand, open strings among them now and then.
fn stop(guitar: &Guitar, count: usize, random: &mut ChaCha8Rng) -> Vec<(usize, u8)> {
    loop {
        let hand: u8 = random.random_range(1..=HIGHEST - 3);
        let mut strings: Vec<usize> = (0..guitar.strings.len()).collect();
        strings.shuffle(random);
        let fretted = |string: usize| match random.random_range(0..8) {
            0 => (string, 0),
            finger => (string, hand + finger % 4),
        };
        let mut chord: Vec<(usize, u8)> = strings[..count].iter().copied().map(fretted).collect();
        chord.sort_unstable();
        let pitches: Vec<f64> =
            chord.iter().map(|&(string, fret)| 12.0 * guitar.strings[string].pitch.log2() + f64::from(fret)).collect();
        let alike = |(i, pitch): (usize, &f64)| pitches[..i].iter().any(|other| (other - pitch).abs() < 0.5);
        if !pitches.iter().enumerate().any(alike) {
            return chord;
        }
    }
}

fn power_chord(random: &mut ChaCha8Rng) -> Vec<(usize, u8)> {
    let (string, root) = (random.random_range(0..2), random.random_range(0..=10));
    let chord = [(string, root), (string + 1, root + 2), (string + 2, root + 2)];
    chord[..random.random_range(2..=3)].to_vec()
}

/// How far the document is off, string by string at random.
#[derive(Debug, Clone, Copy, Default)]
pub struct Mistakes {
    /// Tuning, in cents, up or down.
    pub cents: f64,
    /// Stiffness, standard deviation of its logarithm.
    pub stiffness: f64,
}

impl Mistakes {
    /// A document that is off by so much.
    pub fn described(self, guitar: &Guitar, seed: u64) -> Guitar {
        let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x7772_6f6e);
        let mut described = guitar.clone();
        for (string, stiff) in described.strings.iter_mut().zip(StiffString::all(guitar)) {
            let sign = if random.random::<bool>() { 1.0 } else { -1.0 };
            let normal: f64 = StandardNormal.sample(&mut random);
            string.pitch *= (sign * self.cents / 1200.0).exp2();
            string.inharmonicity = Some(stiff.inharmonicity * (self.stiffness * normal).exp());
        }
        described
    }
}

/// What was named.
#[derive(Debug, Clone, Copy, Default)]
pub struct Named {
    /// Notes that were asked for.
    pub notes: usize,
    /// Of those, how many were heard on their string and fret, at each time of [`AFTER`]. One that is not heard at all is missed.
    pub right: [usize; AFTER.len()],
    /// How many were heard at their pitch, on whichever string.
    pub pitched: [usize; AFTER.len()],
    /// How many notes were heard at that moment in all.
    pub heard: [usize; AFTER.len()],
}

impl Named {
    /// Share of notes that were named right, at each time of [`AFTER`].
    pub fn shares(&self) -> [f64; AFTER.len()] {
        self.right.map(|right| right as f64 / self.notes as f64)
    }

    fn add(self, other: Self) -> Self {
        let sum = |one: [usize; AFTER.len()], two: [usize; AFTER.len()]| std::array::from_fn(|i| one[i] + two[i]);
        Self {
            notes: self.notes + other.notes,
            right: sum(self.right, other.right),
            pitched: sum(self.pitched, other.pitched),
            heard: sum(self.heard, other.heard),
        }
    }
}

/// Plays material by chance of several seeds into a position of the selector (1 is the bridge, 5 the neck) and counts what a follower names
/// right as it comes.
pub fn named(
    make: Make,
    material: Material,
    mistakes: Mistakes,
    position: u8,
    seeds: impl Iterator<Item = u64>,
) -> Named {
    seeds.map(|seed| named_once(make, material, mistakes, position, seed)).fold(Named::default(), Named::add)
}

fn named_once(make: Make, material: Material, mistakes: Mistakes, position: u8, seed: u64) -> Named {
    let guitar = guitar();
    let performance = material.performance(&guitar, seed);
    let mut recorded = Stand::new(WIRING, &guitar, position).truth(&take(&guitar, &performance, seed));
    add_noise(&mut recorded, seed);
    let source = Stand::new(WIRING, &mistakes.described(&guitar, seed), position).source();
    listen(&recorded, &guitar, &performance, make(&source, f64::from(SAMPLE_RATE)))
}

/// Bridge, both, middle, both, neck.
const WIRING: &str = "five-way-two-tones";

/// A pitch, in semitones.
fn pitch(guitar: &Guitar, string: usize, fret: usize) -> f64 {
    12.0 * guitar.strings[string].pitch.log2() + fret as f64
}

fn listen(take: &[f32], guitar: &Guitar, performance: &Performance, mut follower: Follower) -> Named {
    let mut named = Named { notes: performance.notes.len(), ..Named::default() };
    let heard = Size::at(f64::from(SAMPLE_RATE)).step;
    let late = follower.latency();
    let samples = |seconds: f64| (seconds * f64::from(SAMPLE_RATE)) as usize + late;
    for (place, step) in take.chunks_exact(heard).enumerate() {
        follower.hear(step);
        let now = place * heard..(place + 1) * heard;
        for note in &performance.notes {
            let asked = AFTER.iter().position(|after| now.contains(&samples(note.start + after)));
            let Some(asked) = asked else { continue };
            let own = pitch(guitar, note.string, note.fret.into());
            let alike = |heard: &HeardNote| (pitch(guitar, heard.string, heard.fret) - own).abs() < 0.5;
            let right = |heard: HeardNote| (heard.string, heard.fret) == (note.string, note.fret.into());
            named.right[asked] += usize::from(follower.heard().any(right));
            named.pitched[asked] += usize::from(follower.heard().any(|heard| alike(&heard)));
            named.heard[asked] += follower.heard().count();
        }
    }
    named
}
