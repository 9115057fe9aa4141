//! What the take was made with, and what can be chosen.

use super::controls::Control;

/// What the take was made with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RecordedView {
    /// In one line: "three single coils, bridge, all on 10, 500p, 1M".
    pub summary: String,
    /// What is assumed because nobody said otherwise; none once the user set something.
    pub assumed: Option<String>,
    /// The guitar's name among the choices.
    pub guitar: String,
    /// What its document calls it.
    pub guitar_title: String,
    /// The guitar's pickups.
    pub pickups: Vec<PickupRow>,
    /// The guitar otherwise: scale length, strings, tuning.
    pub about_guitar: String,
    /// The wiring's name among the choices.
    pub wiring: String,
    /// Selector, knobs, switches, cable and input as they stood.
    pub controls: Vec<Control>,
}

/// A pickup of the guitar.
#[derive(Debug, Clone, PartialEq)]
pub struct PickupRow {
    /// Its name.
    pub name: String,
    /// Distance from the bridge under the lowest string: "45 mm".
    pub low: String,
    /// Distance from the bridge under the highest string.
    pub high: String,
    /// Electrically: "6.2k, 2.4 H".
    pub coil: String,
    /// Winding sense and magnet: "reverse wound".
    pub sense: String,
}

/// What can be chosen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choices {
    /// Wirings.
    pub wirings: Vec<Choice>,
    /// Guitars.
    pub guitars: Vec<Choice>,
    /// Sounds tables.
    pub sounds: Vec<Choice>,
    /// Selectors.
    pub selectors: Vec<Choice>,
}

/// A document that can be chosen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// Its name; actions use it.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Whether it is the user's own, from the config folder.
    pub own: bool,
}
