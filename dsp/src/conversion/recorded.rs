//! What a take was recorded with.

use std::sync::Arc;

use super::places::Places;
use super::power::power_at_jack;
use crate::circuit::{CircuitError, CompiledWiring, Controls, Grid, Responses};
use crate::document::Assembly;
use crate::string::PlaceTable;

/// The circuit that a take has in it: guitar, wiring, controls and load.
#[derive(Debug, Clone)]
pub struct Recorded {
    pub(super) grid: Grid,
    pub(super) responses: Responses,
    pub(super) place: PlaceTable,
    pub(super) power: [f64; Grid::POINTS],
    pub(super) places: Option<Arc<Places>>,
}

/// Why there is no conversion.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ConversionError {
    /// A circuit has no answer.
    #[error(transparent)]
    Circuit(#[from] CircuitError),
    /// Nothing can have been recorded.
    #[error(
        "the take cannot have been recorded with these controls: no pickup reaches the jack. Say where they stood \
         (selector, volume, switches)"
    )]
    SilentTake,
    /// A take of one pickup alone has others in it.
    #[error(
        "with these controls the take cannot be of the {pickup} pickup alone: another one reaches the jack with it, or {pickup} \
         does not. Say where the controls stood, or name the wiring in which {pickup} sounds alone"
    )]
    NotAlone {
        /// The pickup's name.
        pickup: String,
    },
    /// The option is for another guitar than the take.
    #[error("the option's guitar has {option} pickups, the take's {recorded}; use one guitar for both")]
    OtherGuitar {
        /// Pickups of the option's guitar.
        option: usize,
        /// Pickups of the recorded guitar.
        recorded: usize,
    },
}

impl Recorded {
    /// The circuit in which the controls stood so while the take was recorded, on a grid.
    ///
    /// # Errors
    /// When the circuit has no single solution, or is silent.
    pub fn new(assembly: &Assembly, controls: &Controls, grid: &Grid) -> Result<Self, ConversionError> {
        let responses = CompiledWiring::new(assembly, grid)?.responses(controls).clone();
        let place = PlaceTable::prior(&assembly.guitar, grid.hertz());
        let mut power = [0.0; Grid::POINTS];
        power_at_jack(&responses, &place, &mut power);
        let floor = place.product(0, 0).iter().map(|product| product * SILENCE).collect::<Vec<_>>();
        let silent = |(power, floor): (&f64, &f64)| power.is_nan() || power <= floor;
        if power.iter().zip(&floor).any(silent) {
            return Err(ConversionError::SilentTake);
        }
        Ok(Self { grid: grid.clone(), responses, place, power, places: None })
    }

    /// The same, so that conversions from it can follow the notes: with the pickups' places on a fine lattice.
    pub fn followed(self, places: Arc<Places>) -> Self {
        Self { places: Some(places), ..self }
    }

    /// One response per pickup, as it was recorded.
    pub fn responses(&self) -> &Responses {
        &self.responses
    }

    /// The grid it was made for.
    pub fn grid(&self) -> &Grid {
        &self.grid
    }
}

/// Power, relative to the first pickup's EMF, below which a take holds nothing that could be converted: -240 dB. A
/// tone at 0 loses some 90 dB at the top, a muted pickup everything.
const SILENCE: f64 = 1e-24;
