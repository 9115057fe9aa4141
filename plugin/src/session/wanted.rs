//! The sounds that are wanted, before there is a wiring for them.

use dryfit_dsp::document::{Library, Problems};
use serde::{Deserialize, Serialize};

use super::project::{Bench, Project};
use super::setup::{Document, Setup};

/// What a wiring is to be found for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Wanted {
    /// The sounds table, as it is being written: it may have mistakes, and nothing sounds by it.
    pub sounds: String,
    /// The selector at hand, by its document's name; none when any will do.
    pub switch: Option<String>,
}

impl Project {
    /// Where a wiring that was found for the table stands until it is saved.
    pub const FOUND: &str = "found";

    /// The same bench with another wish beside it. It sounds the same.
    pub fn with_wanted(&self, wanted: Wanted) -> Self {
        Self { wanted: Some(wanted), ..self.clone() }
    }

    /// A wiring that was found, put on a bench in place of what is there, add-ons and values with it.
    ///
    /// # Errors
    /// As [`Project::checked`].
    pub fn with_found(&self, bench: Bench, wiring: &str, library: &Library) -> Result<Self, Problems> {
        let wiring = Document { name: Self::FOUND.into(), text: wiring.into() };
        let (add_ons, switches, values) = Default::default();
        self.with_setup(bench, Setup { wiring, add_ons, switches, values }.refitted(library)?)
    }

    /// Whether both sound the same in every way: whether nothing but the wish differs.
    pub fn sounds_as(&self, other: &Self) -> bool {
        let Self { format, guitar, recorded, benches, tray, wanted: _ } = self;
        (format, guitar, recorded, benches, tray)
            == (&other.format, &other.guitar, &other.recorded, &other.benches, &other.tray)
    }
}
