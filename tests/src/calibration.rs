//! Calibration sessions of which the truth is known: a guitar that differs from its document, played and recorded.

use dryfit_dsp::calibration::{Calibrated, Known, Pass, Played, Position, Session, calibrate};
use dryfit_dsp::circuit::{CompiledWiring, Controls, Grid};
use dryfit_dsp::document::{Guitar, Library};
use dryfit_dsp::string::{Note, Performance, Realism, StiffString, Take, sensing, synthesise};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

use crate::following;
use crate::ground_truth::{SAMPLE_RATE, Stand};

/// The wiring of the sessions: bridge, bridge + middle, middle, middle + neck, neck.
pub const WIRING: &str = "five-way-two-tones";
/// The frets that a pass is asked for.
const FRETS: [u8; 4] = [0, 5, 7, 12];

/// How a session is played.
#[derive(Debug, Clone)]
pub struct Playing {
    /// Positions of the selector, from 1, one pass each.
    pub positions: Vec<u8>,
    /// Share of notes that are left out or played wrong.
    pub wrong: f64,
    /// Level of noise and of hum, in dB below full scale at a peak of -6 dBFS.
    pub noise_db: f64,
}

impl Playing {
    /// Every position, no mistake, -70 dB of noise.
    pub fn careful() -> Self {
        Self { positions: vec![1, 2, 3, 4, 5], wrong: 0.0, noise_db: -70.0 }
    }
}

/// A guitar and what its document says of it.
#[derive(Debug, Clone)]
pub struct Truth {
    /// As it is.
    pub guitar: Guitar,
    /// As its document has it: a preset.
    pub described: Guitar,
}

/// A guitar by chance: out of tune by 6 cents, stiffness by 20 %, places by up to 6 mm, slants by 2 mm, widths by 2 mm, nulls 10 to 21 dB deep,
/// outputs by 2 dB, voicings by 2 dB in smooth curves.
///
/// # Panics
/// When the preset is gone.
pub fn guitar(seed: u64) -> Truth {
    let described = Library::presets().guitar("three-single-coils").unwrap_or_else(|problems| panic!("{problems}"));
    let mut guitar = described.clone();
    let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x6775_6974);
    let mut normal = move || -> f64 { StandardNormal.sample(&mut random) };
    for (string, stiff) in guitar.strings.iter_mut().zip(StiffString::all(&described)) {
        string.pitch *= (6.0 * normal() / 1200.0).exp2();
        string.inharmonicity = Some(stiff.inharmonicity * (0.2 * normal()).exp());
    }
    let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x7069_636b);
    let mut between = move |low: f64, high: f64| low + (high - low) * random.random::<f64>();
    for pickup in &mut guitar.pickups {
        let (off, slant) = (between(-6e-3, 6e-3), between(-2e-3, 2e-3));
        pickup.distance_low += off - 0.5 * slant;
        pickup.distance_high += off + 0.5 * slant;
        pickup.sensing_width += between(-2e-3, 2e-3);
        pickup.null_depth_db = between(-21.0, -10.0);
        pickup.output_db += between(-2.0, 2.0);
        pickup.voicing = [100.0, 400.0, 1500.0, 5000.0].map(|hertz| (hertz, between(-2.0, 2.0))).to_vec();
    }
    Truth { guitar, described }
}

/// Open strings and frets 5, 7 and 12, once each, in any order; a share of them left out or another note instead.
pub fn performance(seed: u64, wrong: f64) -> Performance {
    let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x6e6f_7465);
    let mut places: Vec<(usize, u8)> = (0..6).flat_map(|string| FRETS.map(|fret| (string, fret))).collect();
    places.shuffle(&mut random);
    let mut notes = Vec::new();
    let mut start = 0.4;
    for (string, fret) in places {
        let chance: f64 = random.random();
        if chance < 0.5 * wrong {
            continue;
        }
        let note = if chance < wrong {
            Note::new(start, 0.8, random.random_range(0..6), random.random_range(0..14))
        } else {
            Note::new(start, 0.8, string, fret)
        };
        notes.push(note);
        start += 0.85 + 0.3 * random.random::<f64>();
    }
    Performance { notes }
}

/// A recording of a performance with the selector in a position (from 1).
pub fn recording(guitar: &Guitar, performance: &Performance, position: u8, seed: u64, noise_db: f64) -> Vec<f32> {
    let played = played(guitar, performance, seed);
    let mut take = Stand::new(WIRING, guitar, position).truth(&played);
    add_noise(&mut take, seed, noise_db);
    take
}

/// What every pickup heard, not scaled by how loud it came out: levels are compared between passes.
pub fn played(guitar: &Guitar, performance: &Performance, seed: u64) -> Take {
    let realism = Realism { filled_nulls: true, ..following::realism() };
    let mut take = synthesise(guitar, performance, seed, f64::from(SAMPLE_RATE), &realism);
    // Ordinary headroom: a note's signal peaks at some 0.8.
    take.scale(0.3);
    take
}

/// White noise, and hum of 50 Hz with overtones, each as loud as that.
pub fn add_noise(take: &mut [f32], seed: u64, noise_db: f64) {
    let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x6e6f_6973);
    let amplitude = 10f64.powf(noise_db / 20.0);
    for (n, sample) in take.iter_mut().enumerate() {
        let white: f64 = StandardNormal.sample(&mut random);
        let turn = std::f64::consts::TAU * 50.0 * n as f64 / f64::from(SAMPLE_RATE);
        let hum = turn.sin() + 0.5 * (2.0 * turn).sin() + 0.5 * (3.0 * turn).sin() + 0.3 * (5.0 * turn).sin();
        *sample += (amplitude * (white + hum)) as f32;
    }
}

/// The positions of the wiring on a guitar, on the grid of the sessions.
///
/// # Panics
/// When the preset cannot be built.
pub fn positions(described: &Guitar) -> (Grid, Vec<Position>) {
    let grid = Grid::up_to(f64::from(SAMPLE_RATE) / 2.0);
    let stand = Stand::new(WIRING, described, 1);
    let mut wiring = CompiledWiring::new(&stand.assembly, &grid).expect("presets have a solution");
    let mut of = |position: u8| Position {
        name: format!("position {position}"),
        responses: wiring.responses(&Controls { position, ..Controls::default() }).clone(),
    };
    let positions = (1..=5).map(&mut of).collect();
    (grid, positions)
}

/// Plays a session on a guitar and calibrates its document with it.
pub fn session(truth: &Truth, playing: &Playing, seed: u64) -> Calibrated {
    let recordings: Vec<(u8, Vec<f32>)> = playing
        .positions
        .iter()
        .map(|&position| {
            let seed = seed.wrapping_mul(100) + u64::from(position);
            let performance = performance(seed, playing.wrong);
            (position, recording(&truth.guitar, &performance, position, seed, playing.noise_db))
        })
        .collect();
    let (grid, positions) = positions(&truth.described);
    let passes = recordings.iter().map(|(position, samples)| Pass {
        name: format!("position {position}"),
        position: usize::from(*position) - 1,
        samples,
        sample_rate: f64::from(SAMPLE_RATE),
        played: Played::AsAsked,
    });
    let known = vec![Known::TYPICAL; truth.described.pickups.len()];
    let session = Session { guitar: &truth.described, known, positions, grid, passes: passes.collect() };
    calibrate(&session)
}

/// By how much a calibrated guitar is off, each error with the standard deviation that was stated for it.
#[derive(Debug, Clone, Default)]
pub struct Errors {
    /// Of distances under the outer strings, in millimetres, bridge to neck, low and high.
    pub distances: Vec<[(f64, f64); 2]>,
    /// Of strings' tuning, in cents.
    pub tuning: Vec<(f64, f64)>,
    /// Of the logarithm of their stiffness.
    pub stiffness: Vec<(f64, f64)>,
    /// Of pickups' output against the reference, in dB.
    pub level: Vec<(f64, f64)>,
    /// Of their voicing against the reference's, at the knots, in dB, without the level.
    pub voicing: Vec<Vec<(f64, f64)>>,
    /// Of the depth of nulls, in dB; of sensing widths, in millimetres.
    pub depth: Vec<(f64, f64)>,
    /// As said.
    pub width: Vec<(f64, f64)>,
}

impl Errors {
    /// Of a calibration against the truth.
    ///
    /// # Panics
    /// When there is no reference pickup: nothing was fitted.
    pub fn new(truth: &Truth, found: &Calibrated) -> Self {
        let mut errors = Self::default();
        for (string, found) in
            truth.guitar.strings.iter().zip(&found.strings).zip(&truth.described.strings).map(|((t, f), d)| ((t, d), f))
        {
            let cents = 1200.0 * (string.0.pitch / string.1.pitch).log2();
            errors.tuning.push((found.cents.value - cents, found.cents.sd));
            let b = string.0.inharmonicity.expect("true guitars have measured strings");
            let sd = found.inharmonicity.sd / found.inharmonicity.value;
            errors.stiffness.push(((found.inharmonicity.value / b).ln(), sd));
        }
        let reference = found.pickups.iter().position(|pickup| pickup.reference).expect("something was fitted");
        // The truth at the knots, against the reference; what was held of the reference comes off both.
        let knots: Vec<f64> = found.pickups[reference].voicing.iter().map(|(hertz, _)| *hertz).collect();
        let voice = |guitar: &Guitar, pickup: usize, hertz: f64| {
            let pickup = &guitar.pickups[pickup];
            pickup.output_db + sensing::voicing_db(&pickup.voicing, hertz)
        };
        for (index, (pickup, found)) in truth.guitar.pickups.iter().zip(&found.pickups).enumerate() {
            let off = |found: f64, truth: f64, sd: f64| (1e3 * (found - truth), 1e3 * sd);
            let [low, high] = found.distances;
            errors
                .distances
                .push([off(low.value, pickup.distance_low, low.sd), off(high.value, pickup.distance_high, high.sd)]);
            errors.width.push(off(found.sensing_width.value, pickup.sensing_width, found.sensing_width.sd));
            errors.depth.push((found.null_depth_db.value - pickup.null_depth_db, found.null_depth_db.sd));
            if found.reference || !found.recorded {
                continue;
            }
            let held = |hertz| voice(&truth.described, reference, hertz);
            let true_curve: Vec<f64> = knots
                .iter()
                .map(|&hertz| voice(&truth.guitar, index, hertz) - voice(&truth.guitar, reference, hertz) + held(hertz))
                .collect();
            let true_level = true_curve[1..6].iter().sum::<f64>() / 5.0;
            errors.level.push((found.output_db.value - true_level, found.output_db.sd));
            let of_knots = found.voicing.iter().zip(&true_curve);
            errors
                .voicing
                .push(of_knots.map(|((_, figure), truth)| (figure.value - (truth - true_level), figure.sd)).collect());
        }
        errors
    }
}
