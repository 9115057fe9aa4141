//! What the desk holds under its lock.

use std::sync::Arc;

use dryfit_dsp::document::Problems;

use super::analysis::Analysis;
use super::desk::Kept;
use super::followed::{Followed, Sounding};
use super::names::position_names;
use super::run::{Compiled, Stopped, compile};
use super::surveyed::Surveyed;
use crate::session::{Bench, Project};

/// The project on the bench and what became of it.
#[derive(Debug)]
pub(super) struct State {
    pub(super) project: Arc<Project>,
    /// Rises with every project.
    pub(super) generation: u64,
    /// The newest generation that was compiled, or found wrong.
    pub(super) done: u64,
    /// Sample rate, in hertz, once the host said it.
    pub(super) sample_rate: Option<f64>,
    /// Whether somebody looks at the analysis even before anything sounds.
    pub(super) looked_at: bool,
    /// Whether the instance goes.
    pub(super) stopping: bool,
    pub(super) kept: Option<Kept>,
    pub(super) problems: Option<Problems>,
    pub(super) analysis: Option<Arc<Analysis>>,
    /// What the newest compiled project needs to follow notes.
    pub(super) followed: Option<Arc<Followed>>,
    pub(super) names: [Vec<String>; 2],
    /// The step of the tray that somebody wants surveyed.
    pub(super) step: Option<u8>,
    pub(super) surveyed: Option<Arc<Surveyed>>,
}

impl State {
    /// A project of which nothing is worked out yet.
    pub(super) fn new(project: Project) -> Self {
        let names = names(&project);
        Self {
            project: Arc::new(project),
            generation: 1,
            done: 0,
            sample_rate: None,
            looked_at: false,
            stopping: false,
            kept: None,
            problems: None,
            analysis: None,
            followed: None,
            names,
            step: None,
            surveyed: None,
        }
    }

    pub(super) fn put(&mut self, project: Project, names: [Vec<String>; 2]) {
        self.project = Arc::new(project);
        self.names = names;
        self.generation += 1;
    }

    /// What is to be compiled, if anything.
    pub(super) fn job(&self) -> Option<(Arc<Project>, u64, Option<f64>)> {
        let wanted = self.sample_rate.is_some() || self.looked_at;
        (wanted && self.done < self.generation).then(|| (self.project.clone(), self.generation, self.sample_rate))
    }

    /// What is to be drawn and surveyed, with which step of the tray, if anything.
    pub(super) fn to_survey(&self) -> Option<(Arc<Analysis>, u8)> {
        let (analysis, step) = (self.analysis.as_ref()?, self.step?);
        let done = |surveyed: &Arc<Surveyed>| surveyed.generation == analysis.generation && surveyed.step == step;
        (!self.surveyed.as_ref().is_some_and(done)).then(|| (analysis.clone(), step))
    }

    /// Notes what became of a generation, and returns its targets.
    pub(super) fn take_over(&mut self, generation: u64, outcome: Result<Compiled, Stopped>) -> Option<Sounding> {
        match outcome {
            Ok(Compiled { benches, followers, followed, analysis }) => {
                (self.done, self.problems, self.analysis) = (generation, None, Some(Arc::new(analysis)));
                self.followed = Some(followed);
                Some(Sounding { benches, followers })
            }
            Err(Stopped::Wrong(problems)) => {
                (self.done, self.problems) = (generation, Some(problems));
                None
            }
            Err(Stopped::Unwanted) => None,
        }
    }
}

/// Compiles; a panic becomes a problem, because neither a worker's end nor the host's may come of a document.
pub(super) fn guarded(
    project: &Arc<Project>,
    generation: u64,
    sample_rate: f64,
    before: Option<Arc<Followed>>,
    unwanted: &dyn Fn() -> bool,
) -> Result<Compiled, Stopped> {
    let attempt = || compile(project, generation, sample_rate, before, unwanted);
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(attempt)).unwrap_or_else(|_| {
        let (what, mend) = ("the documents could not be worked out (a fault of Dryfit)", "undo, and report it");
        let kind = dryfit_dsp::document::ProblemKind::Unsolvable;
        Err(Stopped::Wrong(crate::session::problem(kind, "project", None, what.into(), mend)))
    })
}

/// What is on in each position of either bench.
pub(super) fn names(project: &Project) -> [Vec<String>; 2] {
    Bench::BOTH.map(|bench| project.assemble(bench).map(|assembly| position_names(&assembly)).unwrap_or_default())
}
