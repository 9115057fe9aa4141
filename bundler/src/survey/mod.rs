//! What a wiring gives in numbers, for people: `dryfit survey` prints it, and the build sheet has it.

mod json;
mod notes;
mod numbers;
mod tables;
mod text;

use dryfit_dsp::circuit::{CircuitError, Controls, combinations};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::survey::{Distances, Figures, Flag, Spread, Surveyor, Tolerances, Turned, flags, tolerances};

pub use json::json;
pub use notes::{knobs, legend, notes};
pub use tables::{Cell, Table};
pub use text::text;

use dryfit_dsp::circuit::standing;

/// A wiring surveyed in every position, with its further switches in one or several ways.
#[derive(Debug, Clone)]
pub struct Survey {
    /// What was surveyed.
    pub assembly: Assembly,
    /// How built guitars were tried.
    pub tolerances: Tolerances,
    /// One for each way in which the switches beside the selector stood.
    pub states: Vec<State>,
}

/// Every selector position with knobs, switches and load standing in one way.
#[derive(Debug, Clone)]
pub struct State {
    /// How they stood; the position is 1.
    pub controls: Controls,
    /// A position each.
    pub figures: Vec<Figures>,
    /// Each knob on 0, one at a time, where it does something.
    pub turned: Vec<Turned>,
    /// Between every two positions.
    pub distances: Distances,
    /// What deserves a look.
    pub flags: Vec<Flag>,
    /// What tolerances do, a position each.
    pub spreads: Vec<Spread>,
}

impl Survey {
    /// Surveys a wiring with knobs and load as they stand, and with every switch of which `moved` is true in each of its positions;
    /// the other switches stay.
    ///
    /// # Errors
    /// When the circuit has no single solution.
    pub fn new(
        assembly: &Assembly,
        controls: &Controls,
        moved: [bool; Controls::SWITCHES],
        tolerances: Tolerances,
    ) -> Result<Self, CircuitError> {
        let mut surveyor = Surveyor::new(assembly)?;
        let stays = |other: &Controls| {
            (0..Controls::SWITCHES).all(|switch| moved[switch] || other.switches[switch] == controls.switches[switch])
        };
        let ways = combinations(&assembly.controls).filter(|other| other.position == 1 && stays(other));
        let base = *controls;
        let standing = |switches| {
            let mut controls = base;
            (controls.position, controls.switches) = (1, switches);
            controls
        };
        let states = ways.map(|way| State::new(&mut surveyor, assembly, standing(way.switches), &tolerances));
        Ok(Self { assembly: assembly.clone(), tolerances, states: states.collect::<Result<_, _>>()? })
    }

    /// The tables of a state: its positions, each knob turned down where it does something, and what tolerances do.
    pub fn tables(&self, state: &State) -> Vec<Table> {
        tables::tables(self, state)
    }

    /// How the switches of a state stand, in words: `series up`; empty where there is none.
    pub fn place(&self, state: &State) -> String {
        standing::switches(&self.assembly, &state.controls).join(", ")
    }

    /// How everything stood that is the same in every state: `all knobs on 10; cable 500p, input 1M`.
    pub fn standing(&self) -> String {
        let controls = self.states.first().map(|state| state.controls).unwrap_or_default();
        let mut words = standing::knobs(&self.assembly, &controls).join(", ");
        words += if words.is_empty() { "" } else { "; " };
        words + &standing::load(&controls.load)
    }
}

impl State {
    fn new(
        surveyor: &mut Surveyor,
        assembly: &Assembly,
        controls: Controls,
        wanted: &Tolerances,
    ) -> Result<Self, CircuitError> {
        let figures = surveyor.positions(&controls)?;
        let turned = surveyor.turned(&controls)?;
        let distances = surveyor.distances(&controls);
        let flags = flags(&figures, &distances);
        let spreads = if wanted.trials == 0 { Vec::new() } else { tolerances(assembly, &controls, wanted)? };
        Ok(Self { controls, figures, turned, distances, flags, spreads })
    }
}
