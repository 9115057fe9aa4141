//! Add-ons: fragments that hook onto named lugs of a wiring. A wiring plus add-ons is a wiring.

use serde::Serialize;

use super::taper::Taper;
use super::wiring::{Joint, Part};

/// An add-on document.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AddOn {
    /// The document's path or preset name, for problems.
    pub file: String,
    /// What it is called.
    pub title: String,
    /// What it does, for people.
    pub about: String,
    /// Parts of the wiring without which it makes no sense there.
    pub needs: Vec<String>,
    /// The line on which they are named.
    pub(super) needs_line: usize,
    /// Parts it brings.
    pub parts: Vec<Part>,
    /// Joints of its own, between lugs of the parts it brings.
    pub joints: Vec<Joint>,
    /// What it does to the wiring, in this order.
    pub steps: Vec<Step>,
}

/// One step of fitting an add-on, with its line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The line it is written on.
    pub line: usize,
    /// What is done.
    pub action: Action,
}

/// What is done to a wiring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub enum Action {
    /// A lug is taken off its joint and put on the joint of another.
    Move {
        /// The lug that moves.
        lug: String,
        /// The lug whose joint it goes to.
        to: String,
    },
    /// A part is put between a lug and the joint it sits on.
    Insert {
        /// The lug that comes off its joint.
        lug: String,
        /// The inserted part's lug on the joint's side.
        joint_side: String,
        /// The inserted part's lug on the lug's side.
        lug_side: String,
    },
    /// Further lugs are joined to the joint a lug sits on.
    Join {
        /// A lug of the wiring.
        lug: String,
        /// Lugs that join it.
        others: Vec<String>,
    },
    /// A part's keys are set anew.
    Change {
        /// The part.
        part: String,
        /// New value of a pot, capacitor or resistor, as written; what unit it has depends on the part.
        value: Option<String>,
        /// New taper of a pot.
        taper: Option<Taper>,
        /// Whether the pot's track is cut.
        no_load: Option<bool>,
    },
}
