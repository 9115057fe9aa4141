//! What the user should know.

use super::BenchId;
use crate::editor::action::Field;

/// How much a notice matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Severity {
    /// Good to know.
    #[default]
    Note,
    /// Worth a look.
    Warning,
    /// Something does not work.
    Error,
}

/// Something the user should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// How much it matters.
    pub severity: Severity,
    /// Where its cause is.
    pub place: Place,
    /// What is the matter.
    pub what: String,
    /// What would mend it; may be empty.
    pub mend: String,
}

/// Where a notice's cause is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A bench.
    Bench(BenchId),
    /// What the take was made with.
    Recorded,
    /// The take itself.
    Take,
    /// The plug-in as a whole: a state that could not be read, a file that vanished.
    Session,
}

/// A text that was typed and refused.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Where.
    pub field: Field,
    /// What was typed.
    pub typed: String,
    /// Why it was refused and what would do.
    pub why: String,
}
