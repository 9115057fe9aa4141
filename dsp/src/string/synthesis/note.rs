//! One plucked note: what chance makes of it, and its partials as each pickup hears them.

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

use super::bank::Partial;
use super::{Note, Realism};
use crate::document::{Guitar, StringMaterial};
use crate::string::{StiffString, sensing};

/// No partials above this, in hertz: a guitar has nothing to say there, whatever the sample rate.
const TOP: f64 = 18_000.0;
/// Nor above this share of the sample rate, so that bends and vibrato do not alias.
const TOP_SHARE: f64 = 0.45;

/// Purposes for which a note draws its own random numbers, so that none of them shifts another.
#[derive(Debug, Clone, Copy)]
enum Purpose {
    Hand,
    FirstPolarisation,
    SecondPolarisation,
    PickNoise,
    Nulls,
}

/// Random numbers of one note for one purpose.
fn chance(seed: u64, index: usize, purpose: Purpose) -> ChaCha8Rng {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    random.set_stream(index as u64 * 8 + purpose as u64);
    random
}

/// A note as the hand happened to play it.
#[derive(Debug, Clone)]
pub(super) struct Plucked<'a> {
    guitar: &'a Guitar,
    realism: &'a Realism,
    note: Note,
    seed: u64,
    index: usize,
    string: StiffString,
    level: f64,
    pluck: f64,
    cents: f64,
    glide_cents: f64,
    polarisation_cents: f64,
}

impl<'a> Plucked<'a> {
    /// The note with that index in its performance. The string must exist.
    pub fn new(guitar: &'a Guitar, note: Note, index: usize, seed: u64, realism: &'a Realism) -> Self {
        let mut random = chance(seed, index, Purpose::Hand);
        let mut between = |(from, to): (f64, f64)| from + (to - from) * random.random::<f64>();
        let (pluck, glide_cents) = (between(realism.pluck), between(realism.glide_cents));
        let polarisation_cents = between(realism.polarisation_cents);
        let string = StiffString::open(&guitar.strings[note.string], guitar.scale_length).fretted(note.fret.into());
        let level_db = note.level_db + realism.level_spread_db * normal(&mut random);
        Self {
            guitar,
            realism,
            note,
            seed,
            index,
            string,
            level: 10.0_f64.powf(level_db / 20.0),
            // A hand does not pluck where the other one frets.
            pluck: note.pluck.unwrap_or(pluck).min(0.9 * string.length),
            cents: realism.detune_cents * normal(&mut random),
            glide_cents,
            polarisation_cents,
        }
    }

    /// Amplitude of the string that silence is measured against.
    pub fn level(&self) -> f64 {
        self.level
    }

    /// Pitch relative to the fret's, `time` seconds after the pluck.
    pub fn ratio(&self, time: f64) -> f64 {
        let glide = self.glide_cents * (-time / self.realism.glide_time).exp();
        ((self.cents + glide) / 1200.0 + self.note.gesture.semitones(time) / 12.0).exp2()
    }

    /// The partials of both polarisations, for a sample rate in hertz.
    pub fn partials(&self, sample_rate: f64) -> Vec<Partial> {
        let mut partials = self.polarisation(Purpose::FirstPolarisation, 1.0, 0.0, 0.0, sample_rate);
        if self.realism.second_polarisation != 0.0 {
            let (level, decay) = (self.realism.second_polarisation, self.realism.polarisation_decay);
            let purpose = Purpose::SecondPolarisation;
            partials.extend(self.polarisation(purpose, level, self.polarisation_cents, decay, sample_rate));
        }
        partials
    }

    fn polarisation(&self, of: Purpose, level: f64, cents: f64, decay: f64, sample_rate: f64) -> Vec<Partial> {
        let mut random = chance(self.seed, self.index, of);
        let mut signs = chance(self.seed, self.index, Purpose::Nulls);
        let detune = (cents / 1200.0).exp2();
        let count = self.string.partials_below(TOP.min(TOP_SHARE * sample_rate));
        let partial = |n| {
            let hertz = self.string.partial(n) * detune;
            let wavenumber = n as f64 * std::f64::consts::PI / self.string.length;
            let spread = (self.realism.partial_spread * normal(&mut random)).exp();
            let amplitude = level * self.level * spread * self.plucked(n, wavenumber);
            let jitter = (self.realism.decay_spread * normal(&mut random)).exp();
            let heard = self.heard(amplitude, wavenumber, hertz, signs.next_u64());
            Partial { hertz, decay: self.decay(hertz) * jitter + decay, amplitude, heard }
        };
        (1..=count).map(partial).collect()
    }

    /// Amplitude law of a plucked string's velocity: sin(k x_p) / n, smoothed over the width of the pick.
    fn plucked(&self, n: usize, wavenumber: f64) -> f64 {
        let half = 0.5 * wavenumber * self.realism.pluck_width;
        let smoothed = if half < 1e-8 { 1.0 } else { half.sin() / half };
        (wavenumber * self.pluck).sin() / n as f64 * smoothed
    }

    /// What each pickup hears of a partial of that amplitude: sine as sensed at its place, cosine from what fills nulls.
    fn heard(&self, amplitude: f64, wavenumber: f64, hertz: f64, signs: u64) -> Vec<(f64, f64)> {
        let strings = self.guitar.strings.len();
        let of_pickup = |(i, pickup): (usize, &crate::document::Pickup)| {
            let distance = pickup.distance(self.note.string, strings);
            if distance >= self.string.length {
                // Behind the finger the string is at rest.
                return (0.0, 0.0);
            }
            let voiced = amplitude * sensing::voice(pickup, hertz);
            let filling = if self.realism.filled_nulls { sensing::null_floor(pickup).sqrt() } else { 0.0 };
            let sign = if signs >> (i % 64) & 1 == 0 { 1.0 } else { -1.0 };
            let top = sensing::aperture(pickup, wavenumber);
            (voiced * sensing::sense(pickup, distance, wavenumber), voiced * filling * sign * top)
        };
        self.guitar.pickups.iter().enumerate().map(of_pickup).collect()
    }

    /// Decay in nepers per second: faster for high partials and high frets, above all on wound strings (the reference
    /// study's fit, place/lib.py `note`).
    fn decay(&self, hertz: f64) -> f64 {
        let khz = hertz / 1000.0;
        let open = match self.guitar.strings[self.note.string].material {
            StringMaterial::PlainSteel => 0.9 + 0.3 * khz + 0.10 * khz * khz,
            StringMaterial::NickelWound | StringMaterial::SteelWound => 0.7 + 0.35 * khz + 0.4 * khz * khz,
        };
        open * (1.0 + f64::from(self.note.fret) / 24.0) + self.note.damping
    }

    /// Noise of the pick as it leaves the string, one value per sample over `length` samples: a burst under a raised
    /// cosine. It comes from where the pick is and not as a wave on the string, so every pickup hears it alike.
    pub fn pick_noise(&self, length: usize) -> Vec<f64> {
        let mut random = chance(self.seed, self.index, Purpose::PickNoise);
        let loudness = self.level * self.realism.pick_noise;
        let window = |t: usize| 0.5 - 0.5 * (std::f64::consts::TAU * t as f64 / length as f64).cos();
        (0..length).map(|t| loudness * window(t) * normal(&mut random)).collect()
    }
}

fn normal(random: &mut impl Rng) -> f64 {
    StandardNormal.sample(random)
}
