//! Text such as `250k`, `0.047u` or `2.4 H` becomes SI here, once, and back again for people.

mod marking;
mod notation;
mod preferred;
mod quantity;

pub use marking::marking;
pub use notation::{UnitError, parse, write};
pub use preferred::{Series, nearest_preferred};
pub use quantity::Quantity;

/// 20 log10 of an amplitude ratio, in dB.
pub fn amplitude_to_db(ratio: f64) -> f64 {
    20.0 * ratio.log10()
}

/// The amplitude ratio of a level in dB.
pub fn db_to_amplitude(level_db: f64) -> f64 {
    10f64.powf(level_db / 20.0)
}
