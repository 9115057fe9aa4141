//! How far parts may be off their values.

use super::{AssembledKind, Assembly};

/// Tolerance of a pickup's DC resistance, as a share: winders' spread and the copper's temperature (0.4 % a kelvin)
/// together (common practice, no source).
pub const COIL_TOLERANCE: f64 = 0.1;

impl Assembly {
    /// The share by which a part may be off its value; for a pickup that of its DC resistance. None for a part without a value.
    ///
    /// # Panics
    /// When there is no such part.
    pub fn tolerance(&self, part: usize) -> Option<f64> {
        match &self.parts[part].kind {
            AssembledKind::Pot { pot, .. } => Some(pot.tolerance),
            AssembledKind::Capacitor { tolerance, .. } | AssembledKind::Resistor { tolerance, .. } => Some(*tolerance),
            AssembledKind::Pickup(_) => Some(COIL_TOLERANCE),
            AssembledKind::Switch { .. } | AssembledKind::Jack => None,
        }
    }

    /// Multiplies a part's value; of a pickup the DC resistance. Does nothing to a part without a value.
    ///
    /// # Panics
    /// When there is no such part.
    pub fn scale(&mut self, part: usize, factor: f64) {
        match &mut self.parts[part].kind {
            AssembledKind::Pot { pot, .. } => pot.resistance *= factor,
            AssembledKind::Capacitor { capacitance, .. } => *capacitance *= factor,
            AssembledKind::Resistor { resistance, .. } => *resistance *= factor,
            AssembledKind::Pickup(pickup) => self.guitar.pickups[*pickup].coil.resistance *= factor,
            AssembledKind::Switch { .. } | AssembledKind::Jack => {}
        }
    }

    /// Whether a part is one of the guitar's pickups.
    pub fn is_pickup(&self, part: usize) -> bool {
        matches!(self.parts[part].kind, AssembledKind::Pickup(_))
    }
}
