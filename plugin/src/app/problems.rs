//! Problems of documents as the editor shows them.

use dryfit_dsp::document::{Problem, Problems, Severity as Weight};

use crate::editor::{LineProblem, Severity};

/// One line for each.
pub fn lines(problems: &Problems) -> Vec<LineProblem> {
    problems.0.iter().map(line).collect()
}

fn line(problem: &Problem) -> LineProblem {
    let place = problem.lug.as_ref().or(problem.part.as_ref()).map(|place| format!("{place}: ")).unwrap_or_default();
    let severity = if problem.severity == Weight::Error { Severity::Error } else { Severity::Warning };
    LineProblem { line: problem.line, severity, what: format!("{place}{}", problem.what), mend: problem.mend.clone() }
}

/// The first one in a sentence, with what would mend it.
pub fn first(problems: &Problems) -> String {
    problems.0.first().map(|problem| format!("{}; {}", problem.what, problem.mend)).unwrap_or_default()
}
