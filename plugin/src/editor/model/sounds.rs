//! A bench's sounds table, as it is read off its circuit.

/// What a wiring does in every position of selector and switches, in the words of a sounds table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SoundsView {
    /// One for every way in which the switches beside the selector can stand, all in their first positions at first.
    pub settings: Vec<SoundsSetting>,
    /// What each knob does with the switches in their first positions.
    pub knobs: Vec<KnobRow>,
    /// The whole table as a document; empty where it has no words for something.
    pub text: String,
    /// What it has no words for, if anything.
    pub wordless: Option<String>,
}

/// The positions of the selector with the switches beside it standing in one way.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundsSetting {
    /// Where they stand: "with series up"; empty when there are none.
    pub switches: String,
    /// Their positions, each from 1.
    pub standing: Vec<u8>,
    /// From position 1.
    pub rows: Vec<SoundRow>,
}

/// What is on in a position.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundRow {
    /// From 1 (bridge end).
    pub position: u8,
    /// What sounds with the knobs on 10: "neck in series with bridge".
    pub sound: String,
    /// Knobs that do something there, and what: "volume, neck tone: tone".
    pub knobs: String,
    /// Whether selector and switches stand here.
    pub here: bool,
}

/// What a knob does.
#[derive(Debug, Clone, PartialEq)]
pub struct KnobRow {
    /// Its label.
    pub label: String,
    /// In the notation of a sounds table: "blend neck in 1 2".
    pub does: String,
}
