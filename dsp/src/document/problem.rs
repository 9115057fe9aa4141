//! What is wrong with a document, where, and what would mend it.

use std::fmt;

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// Which sort of problem it is.
    pub kind: ProblemKind,
    /// The document it is in: a path, or a preset's name.
    pub file: String,
    /// The line in that document, from 1.
    pub line: Option<usize>,
    /// The part it concerns.
    pub part: Option<String>,
    /// The lug it concerns, as `part.lug`.
    pub lug: Option<String>,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// It works, but a technician should look at it.
    Warning,
    /// It cannot be built or heard as written.
    Error,
}

/// Which sort of problem it is; each has its own so that a program can react to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it, and every problem carries its sentence")]
pub enum ProblemKind {
    NotToml,
    NoFormat,
    NewerFormat,
    UnknownKey,
    MissingKey,
    WrongType,
    UnknownUnit,
    OutOfRange,
    UnknownName,
    UnknownPart,
    UnknownLug,
    DuplicateName,
    LugNamedTwice,
    LoneLug,
    HangingPart,
    FloatingPot,
    FloatingNode,
    ShortedJack,
    ShortedPickup,
    ShortedPart,
    SwitchLoop,
    SilentPosition,
    NoJack,
    UnusedControl,
    WrongSwitch,
    TooLarge,
    BadName,
    Unsolvable,
    BadSound,
}

/// Everything that is wrong, at once.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// Whether one of them is an error.
    pub fn any_error(&self) -> bool {
        self.0.iter().any(|problem| problem.severity == Severity::Error)
    }

    /// Whether one of them is of that kind.
    pub fn has(&self, kind: ProblemKind) -> bool {
        self.0.iter().any(|problem| problem.kind == kind)
    }

    /// `value` when none of them is an error, else all of them.
    pub(crate) fn or<T>(self, value: T) -> Result<T, Self> {
        if self.any_error() { Err(self) } else { Ok(value) }
    }
}

impl std::error::Error for Problems {}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let severity = if self.severity == Severity::Error { "error" } else { "warning" };
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        write!(f, ": {severity}: ")?;
        match (&self.lug, &self.part) {
            (Some(lug), _) => write!(f, "{lug}: ")?,
            (None, Some(part)) => write!(f, "{part}: ")?,
            (None, None) => {}
        }
        write!(f, "{}\n    mend: {}", self.what, self.mend)
    }
}

/// A text from a document, fit for a message: on one line, and not longer than one.
pub(crate) fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    let mut short: String = text.chars().take(MOST).flat_map(printable).collect();
    if text.chars().nth(MOST).is_some() {
        short.push_str("..");
    }
    short
}

/// A character, or how it is written where it would not show.
fn printable(character: char) -> Vec<char> {
    if character.is_control() { character.escape_default().collect() } else { vec![character] }
}
