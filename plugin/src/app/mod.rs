//! Between the plug-in and its editor: what is on the bench becomes a [`ViewModel`], what the user did becomes edits and
//! gestures. No window here; `window` opens one around it.

mod actions;
mod blind;
mod calibration;
mod documents;
mod edits;
mod faults;
mod files;
mod finding;
mod gestures;
mod history;
mod problems;
mod spectrum;
mod texts;
mod view;

use std::path::PathBuf;
use std::sync::Arc;

pub use documents::Documents;
pub use files::Purpose;
pub use gestures::{Gestures, HostGestures, Moved};

use crate::abx::Abx;
use crate::compile::Desk;
use crate::editor::{Action, LineProblem, Listen, Refusal, ViewModel};
use crate::params::Parameters;
use crate::taps::Taps;
use calibration::Calibration;
use faults::Meter;
use files::Files;
use finding::Finding;
use history::History;
use spectrum::Spectrum;
use view::{Measured, Shown};

/// The editor's other half.
pub struct App {
    parameters: Arc<Parameters>,
    desk: Arc<Desk>,
    taps: Arc<Taps>,
    documents: Documents,
    history: History,
    refusals: Vec<Refusal>,
    drafts: [Option<Draft>; 2],
    /// Rise whenever a bench's text changes otherwise than by typing.
    revisions: [u64; 2],
    finding: Finding,
    /// Of bench A and bench B.
    meters: [Meter; 2],
    calibration: Calibration,
    blind: Option<Blind>,
    /// The last thing that went wrong outside any document.
    trouble: Option<String>,
    spectrum: Spectrum,
    bands: bool,
    measured: Option<Measured>,
    shown: Option<Shown>,
    model: ViewModel,
    files: Files,
}

/// A text in a bench's document box that is not what sounds.
#[derive(Debug, Clone, PartialEq)]
struct Draft {
    text: String,
    problems: Vec<LineProblem>,
}

/// A blind comparison, and what the listener listens to in it.
#[derive(Debug, Clone, PartialEq)]
struct Blind {
    abx: Abx,
    listening: Listen,
}

impl App {
    /// For an instance, with the user's documents in a folder.
    pub fn new(parameters: Arc<Parameters>, desk: Arc<Desk>, taps: Arc<Taps>, folder: Option<PathBuf>) -> Self {
        Self {
            parameters,
            desk,
            taps,
            documents: Documents::new(folder),
            history: History::default(),
            refusals: Vec::new(),
            drafts: [None, None],
            revisions: [0; 2],
            finding: Finding::default(),
            meters: Default::default(),
            calibration: Calibration::default(),
            blind: None,
            trouble: None,
            spectrum: Spectrum::new(),
            bands: false,
            measured: None,
            shown: None,
            model: ViewModel::default(),
            files: Files::default(),
        }
    }

    /// What the editor is to show now. Cheap when nothing changed since.
    pub fn model(&mut self) -> &ViewModel {
        let (found, diagnosed, calibrated) = (self.take_found(), self.take_faults(), self.take_calibration());
        if found || diagnosed || calibrated {
            self.shown = None;
        }
        view::refresh(self);
        &self.model
    }

    /// Whether tolerance bands are to be computed; they cost a circuit solved twice for every part.
    pub fn want_bands(&mut self, wanted: bool) {
        self.bands = wanted;
    }

    /// Does what the user did.
    pub fn act(&mut self, action: Action, host: &mut dyn Gestures) {
        self.shown = None;
        actions::carry_out(self, action, host);
    }

    /// Whether a wiring is being searched for.
    pub fn finds(&self) -> bool {
        self.searching().is_some()
    }

    /// Whether faults are being simulated.
    pub fn diagnoses(&self) -> bool {
        self.meters.iter().any(Meter::works)
    }

    /// Whether a pass is being recorded, or recordings are being listened to.
    pub fn calibrates(&self) -> bool {
        self.calibration.recordings.under_way().is_some() || self.calibration.listening.works()
    }

    /// Whether the picture moves by itself: sound ran since the last picture, or something is being compiled, surveyed,
    /// recorded or searched for.
    pub fn moves(&self) -> bool {
        self.desk.working()
            || self.desk.surveying()
            || self.finds()
            || self.diagnoses()
            || self.calibrates()
            || self.spectrum.is_behind(&self.taps)
    }
}
