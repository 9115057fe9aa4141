//! Problems that only a session knows.

use dryfit_dsp::conversion::ConversionError;
use dryfit_dsp::document::{Problem, ProblemKind, Problems, Severity};

/// One error, in a document or at a field that is named like one.
pub fn problem(kind: ProblemKind, file: &str, part: Option<&str>, what: String, mend: &str) -> Problems {
    let (file, part, mend) = (file.to_string(), part.map(str::to_string), mend.to_string());
    Problems(vec![Problem { severity: Severity::Error, kind, file, line: None, part, lug: None, what, mend }])
}

/// Why there is no conversion, as a problem of the document it concerns.
pub fn conversion_problem(file: &str, error: &ConversionError) -> Problems {
    let (kind, mend) = match error {
        ConversionError::SilentTake | ConversionError::NotAlone { .. } => {
            (ProblemKind::SilentPosition, "set the controls as they stood while recording")
        }
        ConversionError::OtherGuitar { .. } => (ProblemKind::UnknownPart, "choose a wiring for this guitar"),
        ConversionError::Circuit(_) => (ProblemKind::Unsolvable, "check the joints named"),
    };
    problem(kind, file, None, error.to_string(), mend)
}
