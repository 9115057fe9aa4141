//! The survey as the template takes it.

use serde::Serialize;

use crate::survey::{Survey, Table, knobs, notes};

/// One way in which the switches beside the selector stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Part {
    /// How they stand; empty where there is none.
    pub place: String,
    /// Positions, knobs turned down, tolerances.
    pub tables: Vec<Table>,
    /// Label of each knob, and what it does where.
    pub knobs: Vec<[String; 2]>,
    /// What deserves a look.
    pub notes: Vec<String>,
}

/// Every state of a survey.
pub(super) fn parts(survey: &Survey) -> Vec<Part> {
    let part = |state| Part {
        place: survey.place(state),
        tables: survey.tables(state),
        knobs: knobs(survey, state),
        notes: notes(state),
    };
    survey.states.iter().map(part).collect()
}
