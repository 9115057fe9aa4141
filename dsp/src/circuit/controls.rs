//! Where the player has the controls, and what the jack drives.

use serde::{Deserialize, Serialize};

/// Where the controls stand. A plain value of fixed size, so that it can cross to the audio thread.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Controls {
    /// Selector position, from 1 (bridge end).
    pub position: u8,
    /// Knobs in the order of the guitar, each 0 to 10.
    pub knobs: [f64; Controls::KNOBS],
    /// Positions of the further switches, from 1.
    pub switches: [u8; Controls::SWITCHES],
    /// What the jack drives.
    pub load: Load,
    /// Which of the values laid out for one part is on trial, from 1; 0 is the part's own. No circuit reads it: a target
    /// that holds several circuits chooses by it.
    #[serde(default)]
    pub step: u8,
}

impl Controls {
    /// Knobs a wiring can have.
    pub const KNOBS: usize = 6;
    /// Switches beside the selector that a wiring can have.
    pub const SWITCHES: usize = 4;

    /// Whether a selector or switch stands elsewhere than in `other`, or another value is on trial: such a move is a
    /// jump, a knob's is not.
    pub fn jumps_from(&self, other: &Self) -> bool {
        self.position != other.position || self.switches != other.switches || self.step != other.step
    }
}

impl Default for Controls {
    /// Position 1, every knob on 10, every switch in its first position, an ordinary load.
    fn default() -> Self {
        let (knobs, switches) = ([10.0; Self::KNOBS], [1; Self::SWITCHES]);
        Self { position: 1, knobs, switches, load: Load::default(), step: 0 }
    }
}

/// What the jack drives: cable capacitance and input resistance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// Cable capacitance, in farads.
    pub cable: f64,
    /// Input resistance, in ohms.
    pub input: f64,
}

impl Default for Load {
    /// 500 pF and 1 Mohm: some 5 m of ordinary cable into an ordinary instrument input (common practice, no source).
    fn default() -> Self {
        Self { cable: 500e-12, input: 1e6 }
    }
}
