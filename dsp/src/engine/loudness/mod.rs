//! Loudness after ITU-R BS.1770-5 (the algorithm is unchanged since BS.1770-4), in LKFS.

mod gate;
mod meter;
mod weighting;

pub use gate::Gate;
pub use meter::Meter;
pub use weighting::{KWeighting, coefficients};

/// The constant of BS.1770-5, annex 1, equation 2: with it a 997 Hz sine of full scale in one channel has -3.01 LKFS.
const OFFSET: f64 = -0.691;

/// Loudness, in LKFS, of a K-weighted mean square summed over the channels (all of weight 1: mono, left, right).
pub fn loudness(mean_square: f64) -> f64 {
    OFFSET + 10.0 * mean_square.log10()
}

/// The mean square that has this loudness, in LKFS.
pub fn mean_square(loudness: f64) -> f64 {
    10f64.powf((loudness - OFFSET) / 10.0)
}
