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
    pub followers: Followers,
}

/// What follows the notes of a take, in either way, before its first sample: which is wanted may change while it plays.
#[derive(Debug, Clone)]
pub struct Followers {
    /// As it plays.
    pub live: Follower,
    /// The same, looking ahead.
    pub ahead: Follower,
}

impl Followers {
    /// The one that looks ahead or the one that does not, and the other.
    pub fn sorted(&mut self, ahead: bool) -> [&mut Follower; 2] {
        if ahead { [&mut self.ahead, &mut self.live] } else { [&mut self.live, &mut self.ahead] }
    }
}

/// Followers before their first sample, and the pickups' places, for a guitar as it was recorded. All take longer to make than
/// the rest of a project, and few edits touch them.
#[derive(Debug)]
pub struct Followed {
    guitar: Document,
    recorded: Recorded,
    sample_rate: f64,
    /// For the conversions.
    pub places: Arc<Places>,
    /// For the engine; to be cloned.
    pub followers: Followers,
}

impl Followed {
    /// For a project of which guitar and recorded circuit are compiled, and a sample rate in hertz.
    pub fn new(project: &Project, guitar: &Guitar, recorded: &RecordedCircuit, sample_rate: f64) -> Self {
        let source = Source::new(guitar, recorded.responses(), recorded.grid());
        let live = Follower::live(&source, sample_rate);
        let places = Places::new(guitar, live.size().lattice().hertz());
        let followers = Followers { live, ahead: Follower::ahead(&source, sample_rate) };
        let (guitar, recorded) = (project.guitar.clone(), project.recorded.clone());
        Self { guitar, recorded, sample_rate, places: Arc::new(places), followers }
    }

    /// Whether it is what a project needs at a sample rate, in hertz.
    pub fn is_for(&self, project: &Project, sample_rate: f64) -> bool {
        self.guitar == project.guitar && self.recorded == project.recorded && self.sample_rate == sample_rate
    }
}
