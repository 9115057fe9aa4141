//! The guitar, measured and recorded: what was typed and played, what that says, and the document that comes of it.

mod listening;
mod measures;
mod recordings;

use std::path::Path;

use dryfit_bundler::audio::Take;
use dryfit_dsp::calibration::{Draft, Measured, NotOneCoil, write_found};
use dryfit_dsp::document::{Guitar, Problems};

pub(super) use listening::{Answer, Asked, Listening};
pub(super) use measures::Measures;
pub(super) use recordings::{Recording, Recordings};

use super::gestures::Gestures;
use super::{App, problems};
use crate::editor::{Field, Measure, Refusal};
use crate::session::{Document, Project};

/// What is measured and recorded of the guitar. It belongs to a guitar that is in hand today, so nobody saves it before it is used.
#[derive(Debug, Default)]
pub(super) struct Calibration {
    pub(super) measures: Measures,
    pub(super) recordings: Recordings,
    pub(super) listening: Listening,
}

impl App {
    /// A figure was typed: kept, or refused with the reason.
    pub(super) fn type_measure(&mut self, measure: Measure, text: String) {
        let Ok(guitar) = self.desk.project().read_guitar() else { return };
        if let Err(why) = self.calibration.measures.set(&guitar, &measure, &text) {
            self.refusals.push(Refusal { field: Field::Measure(measure), typed: text, why });
        }
    }

    /// Records a position, from what comes in.
    pub(super) fn record_pass(&mut self, position: u8) {
        match self.taps.sample_rate() {
            rate if rate > 0.0 => self.calibration.recordings.start(position, self.taps.recorder(), rate),
            _ => self.trouble = Some("the host gives the plug-in no sound yet; let it play, then record".into()),
        }
    }

    /// Takes what was recorded in a position elsewhere.
    pub(super) fn take_pass(&mut self, position: u8, path: &Path, take: Take) {
        let from = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let recording = Recording::new(take.samples, f64::from(take.sample_rate), Some(from));
        self.calibration.recordings.put(position, recording);
    }

    /// Ends the recording that is under way.
    pub(super) fn stop_recording(&mut self) {
        self.taps.recorder().stop();
    }

    /// Listens to what was recorded.
    pub(super) fn calibrate(&mut self) {
        let asked = self.to_calibrate();
        if !asked.recordings.is_empty() {
            self.calibration.listening.start(asked);
        }
    }

    /// Ends listening.
    pub(super) fn give_up_calibrating(&self) {
        self.calibration.listening.give_up();
    }

    /// What would be asked of the recordings now.
    pub(super) fn to_calibrate(&self) -> Asked {
        let Calibration { measures, recordings, .. } = &self.calibration;
        Asked::of(&self.desk.project(), measures, recordings.all())
    }

    /// Takes recordings and findings that arrived; whether any did.
    pub(super) fn take_calibration(&mut self) -> bool {
        let recorded = self.calibration.recordings.step(self.taps.recorder());
        // Both take a step, whatever the other did.
        self.calibration.listening.step() | recorded
    }

    /// What the recordings said, as long as nothing that it depends on was changed since.
    pub(super) fn answer(&self) -> Option<&Answer> {
        let (asked, found) = self.calibration.listening.found.as_ref()?;
        let answer = found.as_ref()?.as_ref().ok()?;
        (answer.told.is_usable() && *asked == self.to_calibrate()).then_some(answer)
    }

    /// The guitar as it was measured and recorded takes the place of the project's, in one step of undo.
    pub(super) fn use_calibrated(&mut self, host: &mut dyn Gestures) {
        let project = self.desk.project();
        if !self.is_calibrated(&project) {
            return;
        }
        match written(&project.guitar, &self.calibration.measures, self.answer()) {
            Ok(guitar) => {
                let edited = project.with_guitar_text(&guitar.name, &guitar.text);
                let done = edited.is_ok();
                self.finish("guitar, measured".into(), edited, None, String::new(), host);
                if done {
                    self.calibration.measures = Measures::default();
                }
            }
            Err(why) => self.trouble = Some(why),
        }
    }

    /// Whether there is anything to make a guitar of.
    pub(super) fn is_calibrated(&self, project: &Project) -> bool {
        let measured = project.read_guitar().is_ok_and(|guitar| !self.calibration.measures.read(&guitar).is_empty());
        measured || self.answer().is_some()
    }
}

/// The guitar's document with what was measured in it, and with what recordings said where they said anything.
fn written(document: &Document, measures: &Measures, answer: Option<&Answer>) -> Result<Document, String> {
    let (mut draft, _) = drafted(document, measures)?;
    if let Some(answer) = answer {
        write_found(&mut draft, &answer.guitar, &answer.told.calibrated);
    }
    let (text, guitar) = draft.finish(&document.name).map_err(|found| problems::first(&found))?;
    Ok(Document { name: guitar.title, text })
}

/// The guitar's document with what was measured in it.
fn drafted(document: &Document, measures: &Measures) -> Result<(Draft, Measured), String> {
    let documented = Guitar::read(&document.name, &document.text).map_err(|found: Problems| problems::first(&found))?;
    let mut draft = Draft::new(&document.text);
    draft.set_top("title", titled(&documented.title), "");
    let about = format!(
        "Measured, from `{}`. What was measured says so beside it; all else is as it was there.",
        document.name
    );
    draft.set_top("about", about, "");
    let measured = measures.read(&documented);
    measured.write(&mut draft, &documented).map_err(|NotOneCoil { pickup, why }| {
        format!("{pickup} pickup: {why}; measure both of its resonances again")
    })?;
    Ok((draft, measured))
}

/// The title of a guitar that was measured, however often it was.
fn titled(title: &str) -> String {
    const MEASURED: &str = ", measured";
    format!("{}{MEASURED}", title.trim_end_matches(MEASURED))
}
