//! What a meter reads at the jack, and how far a sound guitar may be off that.

use crate::circuit::{CircuitError, Controls, dc_at_jack};
use crate::document::{AssembledKind, Assembly};
use crate::units::{self, Quantity};

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
    /// Standard deviation of the logarithm: tolerances taken as two deviations, and the meter's own.
    pub deviation: f64,
}

/// From here on a hand-held meter shows an open circuit, in ohms (common practice, no source).
pub const METER_OPEN: f64 = 20e6;
/// Below this a meter shows a short, leads and contacts included, in ohms (common practice, no source).
const METER_SHORT: f64 = 5.0;
/// What the meter and its leads add, as a share (common practice, no source).
const METER_DEVIATION: f64 = 0.01;

/// What a meter reads at the jack with nothing plugged in, and how far off that is nothing strange.
///
/// # Errors
/// When the circuit has no single solution.
pub fn expected(assembly: &Assembly, controls: &Controls) -> Result<Expected, CircuitError> {
    let ohms = dc_at_jack(assembly, controls)?;
    let mut variance = METER_DEVIATION * METER_DEVIATION;
    for (part, tolerance) in resistive(assembly) {
        let off = |share: f64| -> Result<f64, CircuitError> {
            let mut changed = assembly.clone();
            changed.scale(part, 1.0 + share);
            Ok(shown(dc_at_jack(&changed, controls)?).ln() - shown(ohms).ln())
        };
        let (lower, higher) = (off(-tolerance)?, off(tolerance)?);
        variance += ((higher - lower) / 4.0).powi(2);
    }
    Ok(Expected { ohms, deviation: variance.sqrt() })
}

/// A resistance as a meter shows it, three digits.
pub fn as_read(ohms: f64) -> String {
    match ohms {
        ohms if ohms >= METER_OPEN => "open".into(),
        ohms if ohms < 10.0 => "below 10".into(),
        ohms => units::write(units::significant(ohms, 3), Quantity::Resistance),
    }
}

/// What a meter shows: neither less than its leads nor more than it can measure.
pub(super) fn shown(ohms: f64) -> f64 {
    ohms.clamp(METER_SHORT, METER_OPEN)
}

/// Parts that matter at DC and whose value is not exact, by index, and by which share.
fn resistive(assembly: &Assembly) -> impl Iterator<Item = (usize, f64)> {
    let conducts = |part: &usize| !matches!(assembly.parts[*part].kind, AssembledKind::Capacitor { .. });
    (0..assembly.parts.len()).filter(conducts).filter_map(|part| Some((part, assembly.tolerance(part)?)))
}
