//! What only the screen knows.

use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use super::action::{DocumentId, Field};
use super::model::BenchId;

/// What only the screen knows. What is worth keeping between sessions is serialized, half-typed texts are not.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Memory {
    /// Light or dark.
    pub theme: Theme,
    /// Whether the difference B minus A is drawn.
    pub difference: bool,
    /// Whether tolerance bands are drawn.
    pub bands: bool,
    /// Whether the large drawing is in symbols.
    pub symbols: bool,
    /// The bench that is in front where there is room for one only.
    pub front: BenchId,
    /// The aside that is open.
    #[serde(skip)]
    pub aside: Option<Aside>,
    /// The step of the guitar's calibration that is open, and the comb that is looked at.
    #[serde(skip)]
    pub calibration: (CalibrationStep, usize),
    /// Texts being typed.
    #[serde(skip)]
    pub typing: HashMap<Field, String>,
    /// The document being typed, the revision it started from, its text.
    #[serde(skip)]
    pub draft: Option<(DocumentId, u64, String)>,
}

impl Memory {
    /// What is worth keeping between sessions, and nothing else.
    pub fn kept(&self) -> Self {
        let Self { theme, difference, bands, symbols, front, .. } = *self;
        Self { theme, difference, bands, symbols, front, ..Self::default() }
    }

    /// The same with what was kept in place of its own.
    pub fn keeping(self, kept: &Self) -> Self {
        let Self { theme, difference, bands, symbols, front, .. } = *kept;
        Self { theme, difference, bands, symbols, front, ..self }
    }

    /// Opens an aside, or closes it if it is open.
    pub fn toggle(&mut self, aside: Aside) {
        self.aside = if self.aside == Some(aside) { None } else { Some(aside) };
    }
}

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Theme {
    /// Workshop paper.
    #[default]
    Light,
    /// For a dark room.
    Dark,
}

/// A step of the guitar's calibration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CalibrationStep {
    /// Ruler and meter.
    #[default]
    Measures,
    /// Recordings.
    Recordings,
    /// What was found.
    Found,
}

/// What opens over the benches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aside {
    /// As recorded, and the guitar.
    Recorded,
    /// The guitar, measured and recorded.
    Calibration,
    /// A bench's document as text.
    Document(BenchId),
    /// What a bench does in every position.
    Sounds(BenchId),
    /// A bench's meter readings, and the fault behind them.
    Faults(BenchId),
    /// The sounds that are wanted, and the wiring for them.
    Find,
    /// A bench's wiring, drawn large.
    Drawing(BenchId),
    /// Blind comparison.
    Blind,
    /// The keys.
    Keys,
}
