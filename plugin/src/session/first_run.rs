//! What is on the bench before anybody put something there.

use dryfit_dsp::conversion::Controls;
use dryfit_dsp::document::{DocumentKind, Library, Problems};

use super::project::{Project, Recorded};
use super::saved::FORMAT;
use super::setup::{Document, Setup};
use super::tray::Tray;

impl Project {
    const GUITAR: &str = "three-single-coils";
    const RECORDED: &str = "five-way-two-tones";
    const A: &str = "five-way-bridge-only-neck-blend";
    const B: &str = "five-way-neck-blend";

    /// What most takes are made with, and two wirings of which one answers the other.
    ///
    /// # Panics
    /// When the library lacks the presets it names; a test keeps that they are there.
    pub fn first_run(library: &Library) -> Self {
        Self::of_presets(library).expect("the presets of the first run are there and right")
    }

    fn of_presets(library: &Library) -> Result<Self, Problems> {
        let setup = |name| Setup::from_library(library, name);
        let (controls, assumed) = (Controls::default(), true);
        Ok(Self {
            format: FORMAT,
            guitar: Document::from_library(library, DocumentKind::Guitar, Self::GUITAR)?,
            recorded: Recorded { setup: setup(Self::RECORDED)?, controls, assumed },
            benches: [setup(Self::A)?, setup(Self::B)?],
            tray: Tray::default(),
            wanted: None,
        })
    }

    /// What is assumed about the take, as long as nobody said otherwise.
    pub fn assumption(&self) -> Option<&'static str> {
        self.recorded.assumed.then_some(
            "Assumed: a guitar with three single coils and the ordinary five-way wiring, recorded with the bridge pickup \
             (position 1), everything on 10, an ordinary cable (500p) into an instrument input (1M).",
        )
    }
}
