//! Wirings as they are written: parts, and which lug is joined to which.

use serde::Serialize;

use super::taper::Taper;
use super::values::unit_problem;
use crate::units::{self, Quantity};

/// A wiring document.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wiring {
    /// The document's path or preset name, for problems.
    pub file: String,
    /// What it is called.
    pub title: String,
    /// What it does, for people.
    pub about: String,
    /// In the order in which they are written.
    pub parts: Vec<Part>,
    /// In the order in which they are written.
    pub joints: Vec<Joint>,
    /// Where on the guitar a control's label sits: knob number, label.
    pub knobs: Vec<(u8, String)>,
}

/// One part of a wiring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Part {
    /// The name its lugs are called by.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// The line it is described on.
    pub line: usize,
    /// The document it is described in.
    pub file: String,
}

/// What a part is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub enum PartKind {
    /// The pickup selector: the name of its switch document.
    Selector {
        /// Preset name or path.
        switch: String,
    },
    /// A switch beside the selector.
    Switch {
        /// Preset name or path of its switch document.
        switch: String,
        /// Label of the control that moves it.
        control: String,
        /// The pot whose shaft carries it.
        on_pot: Option<String>,
    },
    /// A pot.
    Pot(Pot),
    /// A capacitor.
    Capacitor {
        /// In farads.
        capacitance: f64,
        /// Share of the value, 0 to 1.
        tolerance: f64,
    },
    /// A fixed resistor.
    Resistor {
        /// In ohms.
        resistance: f64,
        /// Share of the value, 0 to 1.
        tolerance: f64,
    },
}

/// A pot: lug 3 is the end that the wiper (2) reaches at full clockwise, 10 on the dial.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pot {
    /// Whole resistance of the track, in ohms.
    pub resistance: f64,
    /// How the resistance follows the shaft.
    pub taper: Taper,
    /// Whether the track is cut so that the pot is open at 10.
    pub no_load: bool,
    /// Label of the control that moves it.
    pub control: String,
    /// Share of the value, 0 to 1.
    pub tolerance: f64,
}

/// Lugs that are joined.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Joint {
    /// The net's name.
    pub name: String,
    /// Lugs as `part.lug`.
    pub lugs: Vec<String>,
    /// The line it is written on.
    pub line: usize,
    /// The document it is written in.
    pub file: String,
}

impl Wiring {
    /// The part of that name.
    pub fn part(&self, name: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.name == name)
    }
}

impl PartKind {
    /// Gives a pot, capacitor or resistor another value, written such as `220k` or `33n`.
    ///
    /// # Errors
    /// A sentence, when the text is no such value or the part has none.
    pub fn set_value(&mut self, text: &str) -> Result<(), String> {
        let (target, quantity) = match self {
            Self::Pot(pot) => (&mut pot.resistance, Quantity::Resistance),
            Self::Resistor { resistance, .. } => (resistance, Quantity::Resistance),
            Self::Capacitor { capacitance, .. } => (capacitance, Quantity::Capacitance),
            Self::Selector { .. } | Self::Switch { .. } => {
                return Err("a switch has no value".into());
            }
        };
        *target = units::parse(text, quantity).map_err(|error| {
            let (_, what, mend) = unit_problem(&error, text, quantity);
            format!("{what}; {mend}")
        })?;
        Ok(())
    }
}
