//! The fault finder of a bench.

use dryfit_dsp::faults::Finding;

/// What a meter should read at the jack, what it did, and what that says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FaultsView {
    /// What a sound guitar reads with all knobs on 10, in every position of selector and switches.
    pub should: Vec<ShouldRead>,
    /// The readings as they were typed.
    pub typed: String,
    /// What became of them.
    pub diagnosis: DiagnosisView,
}

/// What a meter should read at the jack.
#[derive(Debug, Clone, PartialEq)]
pub struct ShouldRead {
    /// How the place is typed: "2:series=up".
    pub place: String,
    /// The reading: "6.21k".
    pub value: String,
    /// Where a sound guitar may lie: "5.9k to 6.52k"; empty where the meter shows an open circuit.
    pub band: String,
}

/// What became of readings that were typed.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum DiagnosisView {
    /// None were.
    #[default]
    Idle,
    /// Every single fault is being simulated.
    Running,
    /// They were ranked.
    Done {
        /// Faults by how well they explain the readings.
        finding: Finding,
        /// Whether the wiring, its values or the guitar changed since.
        outdated: bool,
    },
    /// The fault finder met a fault of its own.
    Broken,
}
