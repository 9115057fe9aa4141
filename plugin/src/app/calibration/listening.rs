//! What recordings say of the guitar, worked out on an errand.

use std::collections::BTreeMap;
use std::sync::Arc;

use dryfit_dsp::calibration::{Known, Measured, Pass, Played, Session, Told, calibrate_while, positions};
use dryfit_dsp::document::Guitar;

use super::recordings::Recording;
use super::{Measures, drafted};
use crate::app::problems;
use crate::errand::{Errand, Told as Waiting};
use crate::session::{Document, Project, Recorded};

/// What recordings are listened to with: whatever they say depends on it.
#[derive(Debug, Clone)]
pub(in crate::app) struct Asked {
    pub guitar: Document,
    pub recorded: Recorded,
    pub measures: Measures,
    pub recordings: BTreeMap<u8, Arc<Recording>>,
}

/// What recordings said.
#[derive(Debug, Clone)]
pub(in crate::app) struct Answer {
    /// In words and figures.
    pub told: Told,
    /// The guitar as it was measured, before they said anything.
    pub guitar: Guitar,
    /// What was measured.
    pub measured: Measured,
}

/// What recordings said, or why they cannot be asked.
pub(in crate::app) type Outcome = Result<Answer, String>;

/// An errand under way, and what the last one came to.
#[derive(Debug, Default)]
pub(in crate::app) struct Listening {
    errand: Option<(Asked, Errand<Option<Outcome>>)>,
    /// With what was asked; none where the errand broke.
    pub found: Option<(Asked, Option<Outcome>)>,
}

impl PartialEq for Asked {
    /// A recording is the same when it is the very one: nobody compares millions of samples for a picture.
    fn eq(&self, other: &Self) -> bool {
        let recordings = self.recordings.iter().zip(&other.recordings);
        (&self.guitar, &self.recorded, &self.measures) == (&other.guitar, &other.recorded, &other.measures)
            && self.recordings.len() == other.recordings.len()
            && recordings.into_iter().all(|((one, a), (other, b))| one == other && Arc::ptr_eq(a, b))
    }
}

impl Asked {
    /// As a project and what was measured and recorded stand.
    pub(super) fn of(project: &Project, measures: &Measures, recordings: BTreeMap<u8, Arc<Recording>>) -> Self {
        let (guitar, recorded) = (project.guitar.clone(), project.recorded.clone());
        Self { guitar, recorded, measures: measures.clone(), recordings }
    }

    /// Listens; none when nobody waits any more.
    fn answer(&self, waiting: &Waiting) -> Option<Outcome> {
        let (draft, measured) = match drafted(&self.guitar, &self.measures) {
            Ok(drafted) => drafted,
            Err(why) => return Some(Err(why)),
        };
        let guitar = draft.finish(&self.guitar.name).map(|(_, guitar)| guitar);
        let assembly = guitar.and_then(|guitar| Ok((self.recorded.setup.assemble(&guitar)?, guitar)));
        let (assembly, guitar) = match assembly {
            Ok(both) => both,
            Err(found) => return Some(Err(problems::first(&found))),
        };
        let (grid, positions) = match positions(&assembly, &self.recorded.controls) {
            Ok(both) => both,
            Err(error) => return Some(Err(error.to_string())),
        };
        let known = |pickup| if measured.has_distance(pickup) { Known::RULER } else { Known::TYPICAL };
        let there = self.recordings.iter().filter(|(position, _)| usize::from(**position) <= positions.len());
        let passes = there.map(|(&position, recording)| Pass {
            name: format!("position {position}"),
            position: usize::from(position) - 1,
            samples: &recording.samples,
            sample_rate: recording.sample_rate,
            played: Played::AsAsked,
        });
        let passes: Vec<Pass<'_>> = passes.collect();
        let names = passes.iter().map(|pass| pass.name.clone()).collect();
        let called = positions.iter().map(|position| position.name.clone()).collect();
        let known = (0..guitar.pickups.len()).map(known).collect();
        let session = Session { guitar: &guitar, known, positions, grid, passes };
        let calibrated = calibrate_while(&session, &|| !waiting.given_up())?;
        Some(Ok(Answer {
            told: Told { calibrated, passes: names, positions: called },
            measured,
            guitar: guitar.clone(),
        }))
    }
}

impl Listening {
    /// Begins, unless that goes on already.
    pub(super) fn start(&mut self, asked: Asked) {
        if self.errand.is_none() {
            let theirs = asked.clone();
            match Errand::start("dryfit-calibration", move |waiting| theirs.answer(waiting)) {
                Ok(errand) => self.errand = Some((asked, errand)),
                Err(_) => self.found = Some((asked, None)),
            }
        }
    }

    /// Gives up.
    pub(super) fn give_up(&self) {
        if let Some((_, errand)) = &self.errand {
            errand.give_up();
        }
    }

    /// Takes what an errand came to; whether it ended.
    pub(super) fn step(&mut self) -> bool {
        let ended = self.errand.as_ref().and_then(|(_, errand)| errand.result());
        let Some(result) = ended else { return false };
        if let Some((asked, _)) = self.errand.take() {
            match result {
                // Given up: what was found before stays.
                Ok(None) => {}
                Ok(found) => self.found = Some((asked, found)),
                Err(_) => self.found = Some((asked, None)),
            }
        }
        true
    }

    /// Whether recordings are being listened to.
    pub(in crate::app) fn works(&self) -> bool {
        self.errand.is_some()
    }
}
