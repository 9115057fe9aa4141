//! What a meter reads at the jack, and how far a sound guitar may be off that.

use crate::circuit::{CircuitError, Controls, dc_at_jack};
use crate::document::{AssembledKind, Assembly};

/// What was read at the jack.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Where the controls stood.
    pub controls: Controls,
    /// The same in words, for people.
    pub place: String,
    /// In ohms; infinite where the meter shows an open circuit.
    pub ohms: f64,
}

/// What a meter should read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// With every part at its written value, in ohms; infinite for an open circuit.
    pub ohms: f64,
    /// With every part off by its tolerance the way that lowers it.
    pub low: f64,
    /// With every part off by its tolerance the way that raises it.
    pub high: f64,
    /// Standard deviation of the logarithm: tolerances taken as two deviations, and the meter's own.
    pub deviation: f64,
}

/// From here on a hand-held meter shows an open circuit, in ohms (common practice, no source).
pub const METER_OPEN: f64 = 20e6;
/// Below this a meter shows a short, leads and contacts included, in ohms (common practice, no source).
const METER_SHORT: f64 = 5.0;
/// Winding resistance of a pickup against what is written, as a share (common practice, no source; copper alone moves by
/// 0.4 % a kelvin).
pub(super) const COIL_TOLERANCE: f64 = 0.10;
/// What the meter and its leads add, as a share (common practice, no source).
const METER_DEVIATION: f64 = 0.01;

/// What a meter reads at the jack with nothing plugged in, and its band.
///
/// # Errors
/// When the circuit has no single solution.
pub fn expected(assembly: &Assembly, controls: &Controls) -> Result<Expected, CircuitError> {
    let ohms = dc_at_jack(assembly, controls)?;
    let (mut down, mut up, mut variance) = (0.0, 0.0, METER_DEVIATION * METER_DEVIATION);
    for (part, tolerance) in tolerances(assembly) {
        let off = |share: f64| -> Result<f64, CircuitError> {
            let mut changed = assembly.clone();
            scale(&mut changed, part, 1.0 + share);
            Ok(shown(dc_at_jack(&changed, controls)?).ln() - shown(ohms).ln())
        };
        let (lower, higher) = (off(-tolerance)?, off(tolerance)?);
        down += lower.min(higher).min(0.0);
        up += lower.max(higher).max(0.0);
        variance += ((higher - lower) / 4.0).powi(2);
    }
    let band = |by: f64| if ohms.is_finite() { ohms * by.exp() } else { f64::INFINITY };
    Ok(Expected { ohms, low: band(down), high: band(up), deviation: variance.sqrt() })
}

/// What a meter shows: neither less than its leads nor more than it can measure.
pub(super) fn shown(ohms: f64) -> f64 {
    ohms.clamp(METER_SHORT, METER_OPEN)
}

/// Parts whose value is not exact, by index, and by which share.
fn tolerances(assembly: &Assembly) -> Vec<(usize, f64)> {
    let of = |(index, part): (usize, &crate::document::AssembledPart)| match &part.kind {
        AssembledKind::Pot { pot, .. } => Some((index, pot.tolerance)),
        AssembledKind::Resistor { tolerance, .. } => Some((index, *tolerance)),
        AssembledKind::Pickup(_) => Some((index, COIL_TOLERANCE)),
        _ => None,
    };
    assembly.parts.iter().enumerate().filter_map(of).collect()
}

fn scale(assembly: &mut Assembly, part: usize, factor: f64) {
    match &mut assembly.parts[part].kind {
        AssembledKind::Pot { pot, .. } => pot.resistance *= factor,
        AssembledKind::Resistor { resistance, .. } => *resistance *= factor,
        AssembledKind::Pickup(pickup) => assembly.guitar.pickups[*pickup].coil.resistance *= factor,
        _ => {}
    }
}
