//! Which pickups sound.

use super::lower::{Loaded, lower};
use super::{CircuitError, Controls, Mna};
use crate::document::Assembly;
use crate::units::db_to_amplitude;

/// Pickups weaker than the strongest by more than this are not called on: a blend that is not quite open, -20 dB (common
/// practice, no source).
pub const ON_DB: f64 = -20.0;
/// Where pickups are compared, in hertz: below every resonance, above every bass cut.
const MIDDLE_HERTZ: f64 = 500.0;

/// By pickup, whether it sounds where the controls stand: at most `-floor_db` weaker than the strongest. See [`ON_DB`].
///
/// # Errors
/// When the circuit has no single solution.
pub fn sounding(assembly: &Assembly, controls: &Controls, floor_db: f64) -> Result<Vec<bool>, CircuitError> {
    let levels = levels(assembly, controls)?;
    let strongest = levels.iter().copied().fold(0.0, f64::max);
    let least = (strongest * db_to_amplitude(floor_db)).max(f64::MIN_POSITIVE);
    Ok(levels.into_iter().map(|level| level >= least).collect())
}

/// What each pickup gives at the loaded jack, in volts per volt of its EMF, in the middle of the range.
///
/// # Errors
/// When the circuit has no single solution.
pub fn levels(assembly: &Assembly, controls: &Controls) -> Result<Vec<f64>, CircuitError> {
    let lowered = lower(assembly, controls, Loaded::Yes);
    let responses = Mna::new(&lowered.netlist).transfer(lowered.jack, MIDDLE_HERTZ)?;
    Ok(responses.iter().map(|response| response.norm()).collect())
}
