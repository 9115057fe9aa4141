//! What following the notes needs of a project.

use std::sync::Arc;

use dryfit_dsp::conversion::{Places, Recorded as RecordedCircuit};
use dryfit_dsp::document::Guitar;
use dryfit_dsp::following::{Follower, Source};

use super::option_target::OptionTarget;
use crate::session::{Document, Project, Recorded};

/// What a project gives the engine.
#[derive(Debug, Clone)]
pub struct Sounding {
    /// Targets of bench A and bench B.
    pub benches: [OptionTarget; 2],
    /// What follows the notes of the take.
    pub follower: Follower,
}

/// A follower before its first sample, and the pickups' places, for a guitar as it was recorded. Both take longer to make than
/// the rest of a project, and few edits touch them.
#[derive(Debug)]
pub struct Followed {
    guitar: Document,
    recorded: Recorded,
    sample_rate: f64,
    /// For the conversions.
    pub places: Arc<Places>,
    /// For the engine; to be cloned.
    pub follower: Follower,
}

impl Followed {
    /// For a project of which guitar and recorded circuit are compiled, and a sample rate in hertz.
    pub fn new(project: &Project, guitar: &Guitar, recorded: &RecordedCircuit, sample_rate: f64) -> Self {
        let source = Source::new(guitar, recorded.responses(), recorded.grid());
        let follower = Follower::live(&source, sample_rate);
        let places = Places::new(guitar, follower.size().lattice().hertz());
        let (guitar, recorded) = (project.guitar.clone(), project.recorded.clone());
        Self { guitar, recorded, sample_rate, places: Arc::new(places), follower }
    }

    /// Whether it is what a project needs at a sample rate, in hertz.
    pub fn is_for(&self, project: &Project, sample_rate: f64) -> bool {
        self.guitar == project.guitar && self.recorded == project.recorded && self.sample_rate == sample_rate
    }
}
