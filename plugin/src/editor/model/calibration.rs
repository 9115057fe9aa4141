//! The guitar, measured and recorded.

use crate::editor::action::Measure;

/// What is measured and recorded of the guitar, and what that says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CalibrationView {
    /// What ruler and set say of the strings.
    pub strings: Vec<MeasureView>,
    /// What ruler and meter say of each pickup.
    pub pickups: Vec<PickupMeasures>,
    /// How much was measured and what is missing to it, in a sentence.
    pub measured: String,
    /// Whether there is anything to make a guitar of.
    pub ready: bool,
    /// The positions of the selector as recorded, to be recorded one by one.
    pub passes: Vec<PassView>,
    /// What the recordings said.
    pub listening: ListeningView,
}

/// A position of the selector.
#[derive(Debug, Clone, PartialEq)]
pub struct PassView {
    /// The position, from 1.
    pub position: u8,
    /// What is on in it: "1  bridge".
    pub name: String,
    /// Whether it is being recorded or was.
    pub state: PassState,
}

/// A recording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PassState {
    /// There is none.
    Missing,
    /// It is being made: how long it is, and its peak.
    Recording(String),
    /// It was made: how long it is, and its peak.
    Recorded(String),
}

/// What recordings said.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum ListeningView {
    /// Nobody asked yet.
    #[default]
    Idle,
    /// They are being listened to.
    Running,
    /// What came of it.
    Done(FoundGuitar),
    /// Why nothing did.
    Failed(String),
}

/// A guitar as recordings have it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoundGuitar {
    /// In a sentence.
    pub verdict: String,
    /// Whether something that it depends on was changed since.
    pub outdated: bool,
    /// What does not fit, with what would mend it.
    pub complaints: Vec<String>,
    /// Figures with how well they are determined.
    pub figures: Vec<FoundFigure>,
    /// What is not determined well, with what would settle it.
    pub wishes: Vec<String>,
    /// Combs, for the eye.
    pub combs: Vec<CombView>,
}

/// A figure that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundFigure {
    /// Of which pickup or string: "bridge".
    pub of: String,
    /// What it is: "distance, low string".
    pub what: String,
    /// The value with the band that holds in 95 of 100 cases: "45.2 ± 0.8 mm".
    pub found: String,
    /// What the document has: "46 mm".
    pub documented: String,
    /// Whether it is known too badly to rely on.
    pub vague: bool,
}

/// What the pickups of a position make of a string.
#[derive(Debug, Clone, PartialEq)]
pub struct CombView {
    /// Which position and string.
    pub name: String,
    /// Partials as they were measured: frequency in hertz, level in dB.
    pub measured: Vec<[f64; 2]>,
    /// The fitted curve.
    pub fitted: Vec<[f64; 2]>,
}

/// A figure that is typed.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureView {
    /// Which one.
    pub measure: Measure,
    /// What it is called.
    pub label: String,
    /// As it was typed; empty where it was not measured.
    pub typed: String,
    /// What the guitar's document has.
    pub documented: String,
    /// What to type, in the trade's words.
    pub tip: String,
}

/// The figures of a pickup.
#[derive(Debug, Clone, PartialEq)]
pub struct PickupMeasures {
    /// Its name.
    pub name: String,
    /// Distances under the low and the high string, and DC resistance.
    pub ruler_and_meter: [MeasureView; 3],
    /// Inductance, or resonances that tell it.
    pub coil: [MeasureView; 2],
}
