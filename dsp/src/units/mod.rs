//! Text such as `250k`, `0.047u` or `2.4 H` becomes SI here, once, and back again for people.

mod marking;
mod notation;
mod note;
mod preferred;
mod quantity;

pub use marking::marking;
pub use notation::{UnitError, parse, write};
pub use note::{note_hertz, note_name};
pub use preferred::{Series, nearest_preferred};
pub use quantity::Quantity;

/// A value rounded to so many significant digits.
pub fn significant(value: f64, digits: i32) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let decimals = digits - 1 - value.abs().log10().floor() as i32;
    // Division and multiplication by whole powers of ten only: they are exact, 0.1 is not.
    let scale = 10f64.powi(decimals.abs());
    if decimals >= 0 { (value * scale).round() / scale } else { (value / scale).round() * scale }
}

/// 20 log10 of an amplitude ratio, in dB.
pub fn amplitude_to_db(ratio: f64) -> f64 {
    20.0 * ratio.log10()
}

/// The amplitude ratio of a level in dB.
pub fn db_to_amplitude(level_db: f64) -> f64 {
    10f64.powf(level_db / 20.0)
}
