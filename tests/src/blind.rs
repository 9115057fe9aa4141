//! Guitars that are described wrongly, and what calibrating them by a take as it was played wins back of what that costs.

use dryfit_dsp::calibration::{Calibrated, Known, Pass, Played, Session, calibrate};
use dryfit_dsp::document::Guitar;
use dryfit_dsp::string::{StiffString, Take};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::calibration::positions;
use crate::following::{Change, Way, heard};
use crate::ground_truth::SAMPLE_RATE;
use crate::metrics::log_spectral_distance;

/// What is wrong in a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wrong {
    /// Every string by 10 cents.
    pub tuning: bool,
    /// Every string's B by 30 %.
    pub stiffness: bool,
    /// Each of these pickups by 5 mm.
    pub distances: [bool; 3],
}

impl Wrong {
    /// Everything.
    pub const ALL: Self = Self { tuning: true, stiffness: true, distances: [true; 3] };
    /// Nothing.
    pub const NOTHING: Self = Self { tuning: false, stiffness: false, distances: [false; 3] };
}

/// A document that is off by what the order says; which way each string and each pickup is off is chance.
pub fn misdescribed(truth: &Guitar, seed: u64, wrong: Wrong) -> Guitar {
    let mut random = ChaCha8Rng::seed_from_u64(seed ^ 0x6465_7363);
    let mut either = move || if random.random::<bool>() { 1.0 } else { -1.0 };
    let mut guitar = truth.clone();
    for (string, stiff) in guitar.strings.iter_mut().zip(StiffString::all(truth)) {
        let (cents, share) = (10.0 * either(), 0.3 * either());
        if wrong.tuning {
            string.pitch *= f64::exp2(cents / 1200.0);
        }
        if wrong.stiffness {
            string.inharmonicity = Some(stiff.inharmonicity * (1.0 + share));
        }
    }
    for (pickup, wrong) in guitar.pickups.iter_mut().zip(wrong.distances) {
        let off = 5e-3 * either();
        if wrong {
            pickup.distance_low += off;
            pickup.distance_high += off;
        }
    }
    guitar
}

/// The same with the distances of some pickups as they are: what a ruler would have told.
pub fn ruled(mut described: Guitar, truth: &Guitar, pickups: &[usize]) -> Guitar {
    for &pickup in pickups {
        described.pickups[pickup].distance_low = truth.pickups[pickup].distance_low;
        described.pickups[pickup].distance_high = truth.pickups[pickup].distance_high;
    }
    described
}

/// Calibrates a document by takes that were recorded in a position (from 1) of the wiring of the sessions.
pub fn calibrated(described: &Guitar, position: u8, takes: &[&[f32]]) -> Calibrated {
    let (grid, positions) = positions(described);
    let passes = takes.iter().map(|samples| Pass {
        name: String::new(),
        position: usize::from(position) - 1,
        samples,
        sample_rate: f64::from(SAMPLE_RATE),
        played: Played::Freely,
    });
    let known = vec![Known::TYPICAL; described.pickups.len()];
    calibrate(&Session { guitar: described, known, positions, grid, passes: passes.collect() })
}

/// How far a recording is off after a change of pickup that is worked out from a document, in dB.
pub fn distance(change: &Change, described: &Change, take: &[f32], played: &Take, way: Way) -> f64 {
    log_spectral_distance(&heard(described, take, way), &change.option.truth(played), f64::from(SAMPLE_RATE))
}
