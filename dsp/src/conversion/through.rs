//! From one pickup's EMF to the jack: how a circuit is heard when the bare coil is known.

use super::convert::LEAST_LOG_GAIN;
use super::recorded::ConversionError;
use super::target::Target;
use crate::circuit::{CompiledWiring, Controls, Grid};
use crate::document::Assembly;

/// Turns a pickup's EMF into what it gives at the jack of a wiring: the ground truth, where every EMF is known.
#[derive(Debug, Clone)]
pub struct Through {
    wiring: CompiledWiring,
    pickup: usize,
}

impl Through {
    /// For the guitar's pickup of that index, on a grid.
    ///
    /// # Errors
    /// When the circuit has no single solution.
    ///
    /// # Panics
    /// When the guitar has no such pickup.
    pub fn new(assembly: &Assembly, pickup: usize, grid: &Grid) -> Result<Self, ConversionError> {
        assert!(pickup < assembly.guitar.pickups.len(), "the guitar has no pickup {pickup}");
        Ok(Self { wiring: CompiledWiring::new(assembly, grid)?, pickup })
    }
}

impl Target for Through {
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        assert_eq!(log_gain.len(), Grid::POINTS, "one value per point of the grid");
        let (re, im) = self.wiring.responses(controls).parts(self.pickup);
        for (gain, (re, im)) in log_gain.iter_mut().zip(re.iter().zip(im)) {
            *gain = (0.5 * (re * re + im * im).ln()).max(LEAST_LOG_GAIN);
        }
    }
}
