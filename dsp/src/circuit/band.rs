//! What a meter reads at the jack, with the band that tolerances leave.

use super::{CircuitError, Controls, dc_at_jack};
use crate::document::Assembly;

/// A value with the least and the greatest that it can be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The least.
    pub low: f64,
    /// As the documents say.
    pub nominal: f64,
    /// The greatest.
    pub high: f64,
}

/// Resistance between the jack's tip and sleeve with nothing plugged in, in ohms. Infinite when nothing conducts.
///
/// The band is exact: the resistance between two points of a net of resistors never falls when one of them rises (Rayleigh's
/// law of monotonicity), so all at their least and all at their greatest are the ends.
///
/// # Errors
/// When the circuit has no single solution.
pub fn dc_band(assembly: &Assembly, controls: &Controls) -> Result<Band, CircuitError> {
    let at_end = |side: f64| dc_at_jack(&all_at_end(assembly, side), controls);
    Ok(Band { low: at_end(-1.0)?, nominal: dc_at_jack(assembly, controls)?, high: at_end(1.0)? })
}

/// The same wiring with every part at one end of its tolerance.
fn all_at_end(assembly: &Assembly, side: f64) -> Assembly {
    let mut moved = assembly.clone();
    for part in 0..moved.parts.len() {
        if let Some(tolerance) = moved.tolerance(part) {
            moved.scale(part, 1.0 + side * tolerance);
        }
    }
    moved
}
