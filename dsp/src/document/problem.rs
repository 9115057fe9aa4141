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
    UnusedPickup,
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

/// `; did you mean ..?` for the known name that is nearest to `name`, or nothing when none is near.
///
/// Near is a name with few letters wrong, and a name of which `name` is the beginning, even with a letter wrong.
pub fn suggestion<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(name, known).map(|near| format!("; did you mean `{near}`?")).unwrap_or_default()
}

/// Share of the letters that must be right in a name that is written out.
const LIKE: f64 = 0.5;
/// Share of the letters that must be right in the beginning of a name. More, because any name begins like some other.
const LIKE_BEGINNING: f64 = 0.75;
/// Shorter beginnings say nothing.
const SHORTEST_BEGINNING: usize = 3;

fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let likeness = |candidate: &str| {
        let whole = strsim::normalized_damerau_levenshtein(name, candidate);
        let beginning = likeness_to_beginning(name, candidate);
        let near = whole >= LIKE || beginning >= LIKE_BEGINNING;
        // Of two names that begin alike, the one that is not much longer.
        near.then_some((whole.max(beginning), whole))
    };
    known
        .into_iter()
        .filter_map(|candidate| likeness(candidate).map(|likeness| (likeness, candidate)))
        .max_by(|(a, _), (b, _)| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))
        .map(|(_, candidate)| candidate)
}

/// Share of the letters of `name` that are right in the beginning of `candidate` that suits it best.
fn likeness_to_beginning(name: &str, candidate: &str) -> f64 {
    let letters = name.chars().count();
    if letters < SHORTEST_BEGINNING {
        return 0.0;
    }
    let ends = candidate.char_indices().map(|(start, letter)| start + letter.len_utf8());
    let wrong = ends.map(|end| strsim::damerau_levenshtein(name, &candidate[..end])).min().unwrap_or(letters);
    1.0 - wrong as f64 / letters as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 5] =
        ["five-way-bridge-only-neck-blend", "five-way-bridge-tone", "five-way-two-tones", "tone", "tone-cap"];

    #[test]
    fn a_name_with_a_letter_wrong_finds_the_right_one() {
        assert_eq!(nearest("five-way-two-tnoes", NAMES), Some("five-way-two-tones"));
        assert_eq!(nearest("tome", NAMES), Some("tone"));
    }

    #[test]
    fn the_beginning_of_a_name_finds_it_even_with_a_letter_wrong() {
        assert_eq!(nearest("five-way-brige-only", NAMES), Some("five-way-bridge-only-neck-blend"));
        assert_eq!(nearest("five-way-bridge-o", NAMES), Some("five-way-bridge-only-neck-blend"));
        assert_eq!(nearest("tone-c", NAMES), Some("tone-cap"));
    }

    #[test]
    fn of_names_that_begin_alike_the_shortest_is_nearest() {
        assert_eq!(nearest("ton", NAMES), Some("tone"));
    }

    #[test]
    fn a_name_like_no_other_finds_none() {
        assert_eq!(nearest("hum", NAMES), None);
        assert_eq!(nearest("", NAMES), None);
        assert_eq!(suggestion("x", []), "");
    }
}
