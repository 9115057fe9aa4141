//! Why a command could not do its work.

use std::path::PathBuf;

use dryfit_dsp::circuit::settings::SettingError;
use dryfit_dsp::conversion::ConversionError;
use dryfit_dsp::document::{ProblemKind, Problems};

use crate::audio::{ReadError, WriteError};

/// Why a command could not do its work. Each says what, where, and what would mend it.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// Documents are wrong.
    #[error("{0}")]
    Documents(Problems),
    /// A document cannot be read.
    #[error("{}: error: {source}\n    mend: name a preset (`dryfit list`) or a text file that is there", path.display())]
    Document {
        /// The document.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// Settings make no sense for a wiring.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Settings(Vec<SettingError>),
    /// There is no conversion.
    #[error("{place}: error: {source}")]
    Conversion {
        /// The option or the recorded wiring.
        place: String,
        /// Why.
        source: ConversionError,
    },
    /// A take cannot be used.
    #[error(transparent)]
    Take(#[from] ReadError),
    /// A result cannot be written.
    #[error(transparent)]
    Result(#[from] WriteError),
    /// Several things are wrong.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Several(Vec<Failure>),
    /// The arguments do not go together.
    #[error("error: {what}\n    mend: {mend}")]
    Arguments {
        /// What is wrong.
        what: String,
        /// What would mend it.
        mend: String,
    },
    /// There is no such wiring: the proof.
    #[error("error: {0}")]
    Impossible(String),
    /// The plug-in cannot be built or installed.
    #[error("error: {what}\n    mend: {mend}")]
    Bundle {
        /// What is wrong.
        what: String,
        /// What would mend it.
        mend: String,
    },
    /// Documents were checked and found wrong; they were reported already.
    #[error("{count} of {checked} documents have errors")]
    Checked {
        /// Documents with errors.
        count: usize,
        /// Documents checked.
        checked: usize,
    },
    /// Whoever read the output has gone; not a failure.
    #[error("the output was closed")]
    ReaderGone,
    /// The output cannot be written.
    #[error("error: the output cannot be written: {0}\n    mend: look for a full disk")]
    Output(std::io::Error),
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::Documents(condensed(problems))
    }
}

/// A text that is no TOML at all is wrong in every line; the first lines tell as much as all.
fn condensed(mut problems: Problems) -> Problems {
    const ENOUGH: usize = 3;
    let is_noise = |kind| kind == ProblemKind::NotToml;
    let more = problems.0.iter().filter(|problem| is_noise(problem.kind)).count().saturating_sub(ENOUGH);
    if more == 0 {
        return problems;
    }
    let mut told = 0;
    problems.0.retain_mut(|problem| {
        told += usize::from(is_noise(problem.kind));
        if told == ENOUGH && is_noise(problem.kind) {
            problem.mend = format!("write it as TOML; {more} more places are no TOML: is it a document at all?");
        }
        told <= ENOUGH || !is_noise(problem.kind)
    });
    problems
}

impl From<std::io::Error> for Failure {
    /// For writing to standard output.
    fn from(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::BrokenPipe { Self::ReaderGone } else { Self::Output(error) }
    }
}

impl Failure {
    /// Nothing when the list is empty, else all of it.
    pub fn all(mut failures: Vec<Self>) -> Result<(), Self> {
        match failures.len() {
            0 => Ok(()),
            1 => Err(failures.remove(0)),
            _ => Err(Self::Several(failures)),
        }
    }
}
