//! From a take of one pickup alone to what that pickup gives at the jack of an option.

use num_complex::Complex64;

use super::boost::limit_boost;
use super::convert::{Assessment, LEAST_LOG_GAIN};
use super::recorded::{ConversionError, Recorded};
use super::target::Target;
use crate::circuit::{CompiledWiring, Controls, Grid};
use crate::document::Assembly;

/// Takes one pickup's take back through the circuit it was recorded with and on through an option's circuit.
///
/// With a take of every pickup, the sum over pickups, each with its [`PickupAlone::polarity`], is the option's sound, whatever is
/// played: nothing about strings and places has to be known. |G_i| = |H_i of the option / H_i as recorded|; phase follows from it,
/// because such ratios of passive circuits are minimum-phase but for their sign.
#[derive(Debug, Clone)]
pub struct PickupAlone {
    recorded: Box<[Complex64; Grid::POINTS]>,
    option: CompiledWiring,
    pickup: usize,
    grid: Grid,
}

impl PickupAlone {
    /// For the guitar's pickup of that index, recorded alone.
    ///
    /// # Errors
    /// When the recorded circuit does not give that pickup, or gives others with it; when a circuit has no single solution; when
    /// the option's guitar has other pickups.
    ///
    /// # Panics
    /// When the guitar has no such pickup.
    pub fn new(recorded: &Recorded, option: &Assembly, pickup: usize) -> Result<Self, ConversionError> {
        let pickups = (option.guitar.pickups.len(), recorded.responses.pickups());
        if pickups.0 != pickups.1 {
            return Err(ConversionError::OtherGuitar { option: pickups.0, recorded: pickups.1 });
        }
        assert!(pickup < pickups.0, "the guitar has no pickup {pickup}");
        if !recorded.is_alone(pickup) {
            return Err(ConversionError::NotAlone { pickup: option.guitar.pickups[pickup].name.clone() });
        }
        let mut heard = Box::new([Complex64::ZERO; Grid::POINTS]);
        heard.iter_mut().enumerate().for_each(|(point, heard)| *heard = recorded.responses.at(pickup, point));
        let option = CompiledWiring::new(option, &recorded.grid)?;
        Ok(Self { recorded: heard, option, pickup, grid: recorded.grid.clone() })
    }

    /// +1 or -1, as the pickup arrives at the jack against how it was recorded; 0 when it does not arrive. The sign is that of the
    /// ratio at 100 Hz, below every resonance, where coils and capacitors turn nothing.
    pub fn polarity(&mut self, controls: &Controls) -> f64 {
        let point = middle(&self.grid);
        let ratio = self.option.responses(controls).at(self.pickup, point) / self.recorded[point];
        if ratio.norm() <= LEAST_LOG_GAIN.exp() { 0.0 } else { ratio.re.signum() }
    }

    /// How far it can be trusted where the controls stand: exact, unless the boost limit acts.
    pub fn assess(&mut self, controls: &Controls) -> Assessment {
        let mut log_gain = [0.0; Grid::POINTS];
        self.unlimited(controls, &mut log_gain);
        Assessment::of_exact(&log_gain, &self.grid)
    }

    fn unlimited(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        let responses = self.option.responses(controls);
        for (point, (gain, recorded)) in log_gain.iter_mut().zip(self.recorded.iter()).enumerate() {
            let ratio = responses.at(self.pickup, point) / recorded;
            *gain = (0.5 * ratio.norm_sqr().ln()).max(LEAST_LOG_GAIN);
        }
    }
}

impl Target for PickupAlone {
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        assert_eq!(log_gain.len(), Grid::POINTS, "one value per point of the grid");
        self.unlimited(controls, log_gain);
        log_gain.iter_mut().for_each(|gain| *gain = limit_boost(*gain));
    }
}

impl Recorded {
    /// Whether this pickup reaches the jack, and no other one beside it.
    ///
    /// # Panics
    /// When the guitar has no such pickup.
    pub fn is_alone(&self, pickup: usize) -> bool {
        /// A pickup weaker than this against the strongest was not recorded: -60 dB.
        const RECORDED: f64 = 1e-3;
        let point = middle(&self.grid);
        let level = |pickup: usize| self.responses.at(pickup, point).norm();
        let others = (0..self.responses.pickups()).filter(|&other| other != pickup).map(level);
        others.fold(0.0, f64::max) <= RECORDED * level(pickup)
    }
}

/// The point of the grid nearest above 100 Hz.
fn middle(grid: &Grid) -> usize {
    const HERTZ: f64 = 100.0;
    grid.hertz().partition_point(|&hertz| hertz < HERTZ)
}
