//! What the editor wants to know about a project that was compiled.

use dryfit_dsp::document::Assembly;

use super::option_target::OptionTarget;
use crate::session::Project;
use std::sync::Arc;

/// A compiled project, for looking at. Nothing here sounds.
#[derive(Debug, Clone)]
pub struct Analysis {
    /// What was compiled.
    pub project: Arc<Project>,
    /// Which edit it was.
    pub generation: u64,
    /// Sample rate it was compiled for, in hertz.
    pub sample_rate: f64,
    /// What the take was recorded with.
    pub recorded: Assembly,
    /// The benches.
    pub benches: [BenchAnalysis; 2],
}

/// A bench, for looking at.
#[derive(Debug, Clone)]
pub struct BenchAnalysis {
    /// Every name resolved; warnings are in it.
    pub assembly: Assembly,
    /// A copy of what sounds, to draw curves from.
    pub target: OptionTarget,
}
