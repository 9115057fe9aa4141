//! How a check ended. A crash needs no code: the process does not live to give one.

use std::process::ExitCode;

/// How a check ended.
pub enum Outcome {
    /// As it should, with what was measured.
    Passed(String),
    /// As it should, but somebody should look at it.
    Warning(String),
    /// Otherwise than it should.
    Failed(String),
}

impl Outcome {
    const WARNING: u8 = 10;

    /// Says it, and gives the process's exit code: 0 passed, 10 warning, 1 failed (101, a panic, is a failure too), 77
    /// skipped (for the Python side).
    pub fn report(self) -> ExitCode {
        let (code, said) = match self {
            Self::Passed(said) => (ExitCode::SUCCESS, said),
            Self::Warning(said) => (ExitCode::from(Self::WARNING), said),
            Self::Failed(said) => (ExitCode::FAILURE, said),
        };
        println!("{said}");
        code
    }
}

/// Passed when it is so; failed otherwise, with the same figures.
pub fn when(so: bool, said: String) -> Outcome {
    if so { Outcome::Passed(said) } else { Outcome::Failed(said) }
}
