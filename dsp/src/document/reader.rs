//! Reads a TOML document and collects every problem, with its line, instead of stopping at the first.

use std::cell::RefCell;

use toml::de::DeTable;

use super::limits;
use super::problem::{Problem, ProblemKind, Problems, Severity, shortened};
use super::section::Section;
use super::syntax::explain;

/// The version of the document syntax that this program writes and reads.
pub const FORMAT: i64 = 1;

/// One document being read: where its problems are collected.
pub(super) struct Reader<'t> {
    pub file: &'t str,
    text: &'t str,
    /// Where each line starts.
    starts: Vec<usize>,
    problems: RefCell<Vec<Problem>>,
}

/// A value with the line it stands on.
pub(super) struct Lined<T> {
    pub value: T,
    pub line: usize,
}

impl<'t> Reader<'t> {
    /// Parses and reads a document: `read` gets its top table and may return nothing when something vital is missing.
    pub fn read<T>(
        file: &'t str,
        text: &'t str,
        read: impl FnOnce(&Section<'_, 't>) -> Option<T>,
    ) -> Result<T, Problems> {
        match Self::read_despite_errors(file, text, read) {
            (Some(value), problems) => problems.or(value),
            (None, problems) => Err(problems),
        }
    }

    /// The same, with what could be read of a document that has errors.
    pub fn read_despite_errors<T>(
        file: &'t str,
        text: &'t str,
        read: impl FnOnce(&Section<'_, 't>) -> Option<T>,
    ) -> (Option<T>, Problems) {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        let reader = Self { file, text, starts, problems: RefCell::default() };
        if text.len() > limits::BYTES {
            let what = format!("the document has {} bytes, more than the {} that are read", text.len(), limits::BYTES);
            reader.error(ProblemKind::TooLarge, 1, None, what, "check that it is the right file");
            return (None, reader.into_problems());
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        reader.syntax_errors(&errors);
        if !errors.is_empty() {
            return (None, reader.into_problems());
        }
        let top = Section::top(&reader, table.get_ref());
        let value = if top.check_format() { read(&top) } else { None };
        drop(top);
        (value, reader.into_problems())
    }

    /// The line, from 1, on which a byte of the document stands.
    pub fn line_at(&self, offset: usize) -> usize {
        self.starts.partition_point(|&start| start <= offset)
    }

    /// Reports an error.
    pub fn error(&self, kind: ProblemKind, line: usize, part: Option<&str>, what: String, mend: &str) {
        let mut problems = self.problems.borrow_mut();
        if problems.len() < limits::PROBLEMS {
            problems.push(Problem {
                severity: Severity::Error,
                kind,
                file: self.file.to_string(),
                line: Some(line),
                part: part.map(shortened),
                lug: None,
                what,
                mend: mend.to_string(),
            });
        }
    }

    /// Reports where the parser stumbled: once a line, as one slip often trips it twice, and of a heading that is
    /// written twice not also every key under it.
    fn syntax_errors(&self, errors: &[toml::de::Error]) {
        let (mut last, mut heading) = (0, None);
        for error in errors.iter().take(limits::PROBLEMS) {
            let span = error.span().unwrap_or_default();
            let line = self.line_at(span.start.min(self.text.trim_end().len()));
            let text = self.text_of(line);
            let twice = error.message().starts_with("duplicate key");
            let under = |heading: usize| (heading + 1..line).all(|between| !is_heading(self.text_of(between)));
            if line == last || (twice && !is_heading(text) && heading.is_some_and(under)) {
                continue;
            }
            (last, heading) = (line, if twice && is_heading(text) { Some(line) } else { heading });
            let (what, mend) = explain(error.message(), text, self.text.get(span).unwrap_or_default());
            self.error(ProblemKind::NotToml, line, None, what, mend);
        }
    }

    fn text_of(&self, line: usize) -> &str {
        let end = self.starts.get(line).copied().unwrap_or(self.text.len());
        &self.text[self.starts[line - 1]..end]
    }

    fn into_problems(self) -> Problems {
        let mut problems = self.problems.into_inner();
        problems.sort_by_key(|problem| problem.line);
        Problems(problems)
    }
}

fn is_heading(line: &str) -> bool {
    line.trim_start().starts_with('[')
}
