//! Walks a TOML document and collects every problem, with its line, instead of stopping at the first.

use std::cell::{Cell, RefCell};

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::problem::{Problem, ProblemKind, Problems, Severity, suggestion};
use crate::units::{self, Quantity, UnitError};

/// The version of the document syntax that this program writes and reads.
pub const FORMAT: i64 = 1;

/// One document being read: where its problems are collected.
pub(super) struct Reader<'t> {
    file: &'t str,
    text: &'t str,
    problems: RefCell<Vec<Problem>>,
}

/// One table of a document being read. A key that was not asked for is reported as unknown when the section drops,
/// so ask for all of them before giving up on a missing one.
pub(super) struct Section<'r, 't> {
    reader: &'r Reader<'t>,
    name: String,
    line: usize,
    table: &'r DeTable<'t>,
    asked: RefCell<Vec<&'static str>>,
    /// Set when the rest of the document is not to be judged.
    foreign: Cell<bool>,
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
        let reader = Self { file, text, problems: RefCell::default() };
        let (table, errors) = DeTable::parse_recoverable(text);
        for error in errors {
            let line = error.span().map_or(1, |span| reader.line_at(span.start));
            reader.error(ProblemKind::NotToml, line, None, error.message().to_string(), "write it as TOML");
        }
        if !reader.problems.borrow().is_empty() {
            return Err(reader.into_problems());
        }
        let top = reader.section(table.get_ref(), String::new(), 1);
        let value = if top.check_format() { read(&top) } else { None };
        drop(top);
        let problems = reader.into_problems();
        match value {
            Some(value) => problems.or(value),
            None => Err(problems),
        }
    }

    fn into_problems(self) -> Problems {
        let mut problems = self.problems.into_inner();
        problems.sort_by_key(|problem| problem.line);
        Problems(problems)
    }

    fn line_at(&self, offset: usize) -> usize {
        self.text.as_bytes()[..offset.min(self.text.len())].iter().filter(|&&byte| byte == b'\n').count() + 1
    }

    fn section<'r>(&'r self, table: &'r DeTable<'t>, name: String, line: usize) -> Section<'r, 't> {
        Section { reader: self, name, line, table, asked: RefCell::default(), foreign: Cell::new(false) }
    }

    fn error(&self, kind: ProblemKind, line: usize, part: Option<&str>, what: String, mend: &str) {
        self.problems.borrow_mut().push(Problem {
            severity: Severity::Error,
            kind,
            file: self.file.to_string(),
            line: Some(line),
            part: part.map(str::to_string),
            lug: None,
            what,
            mend: mend.to_string(),
        });
    }
}

impl<'r, 't> Section<'r, 't> {
    /// The line the table starts on.
    pub fn line(&self) -> usize {
        self.line
    }

    /// The document's file or preset name.
    pub fn file(&self) -> &str {
        self.reader.file
    }

    /// Reports an error in this table.
    pub fn error(&self, kind: ProblemKind, line: usize, what: impl Into<String>, mend: &str) {
        let part = (!self.name.is_empty()).then_some(self.name.as_str());
        self.reader.error(kind, line, part, what.into(), mend);
    }

    /// Whether the key is there.
    pub fn has(&self, key: &'static str) -> bool {
        self.get(key).is_some()
    }

    /// Whether the key holds a list.
    pub fn is_list(&self, key: &'static str) -> bool {
        self.get(key).is_some_and(|value| value.get_ref().is_array())
    }

    /// A text that must be there.
    pub fn text(&self, key: &'static str) -> Option<Lined<String>> {
        self.required(key, "a text in quotes")?;
        self.optional_text(key)
    }

    /// A text that may be there.
    pub fn optional_text(&self, key: &'static str) -> Option<Lined<String>> {
        let value = self.get(key)?;
        let line = self.line_of(value);
        match value.get_ref().as_str() {
            Some(text) => Some(Lined { value: text.to_string(), line }),
            None => self.wrong_type(key, value, "a text in quotes"),
        }
    }

    /// `true` or `false`; false when the key is missing.
    pub fn flag(&self, key: &'static str) -> bool {
        self.optional_flag(key).unwrap_or(false)
    }

    /// `true` or `false`, when the key is there.
    pub fn optional_flag(&self, key: &'static str) -> Option<bool> {
        let value = self.get(key)?;
        match value.get_ref().as_bool() {
            Some(flag) => Some(flag),
            None => self.wrong_type(key, value, "true or false"),
        }
    }

    /// A quantity that must be there, in SI.
    pub fn quantity(&self, key: &'static str, quantity: Quantity) -> Option<f64> {
        self.required(key, quantity.example())?;
        self.optional_quantity(key, quantity)
    }

    /// A quantity that may be there, in SI.
    pub fn optional_quantity(&self, key: &'static str, quantity: Quantity) -> Option<f64> {
        let value = self.get(key)?;
        self.parse_quantity(key, value, quantity)
    }

    /// A plain number that may be there.
    pub fn optional_number(&self, key: &'static str) -> Option<f64> {
        let value = self.get(key)?;
        match number_of(value.get_ref()) {
            Some(number) => Some(number),
            None => self.wrong_type(key, value, "a number"),
        }
    }

    /// A plain number that must be there.
    pub fn number(&self, key: &'static str) -> Option<f64> {
        self.required(key, "a number")?;
        self.optional_number(key)
    }

    /// A list of quantities of fixed length.
    pub fn quantities<const N: usize>(&self, key: &'static str, quantity: Quantity) -> Option<[f64; N]> {
        let value = self.required(key, "a list")?;
        let items: Vec<_> = self.items(key, value)?.iter().collect();
        if items.len() != N {
            return self.wrong_type(key, value, &format!("a list of {N}"));
        }
        let values: Vec<_> = items.into_iter().filter_map(|item| self.parse_quantity(key, item, quantity)).collect();
        values.try_into().ok()
    }

    /// A list of pairs, each item read by `read`, which gets the two values.
    pub fn pairs<T>(
        &self,
        key: &'static str,
        wanted: &str,
        read: impl Fn(&Self, &Spanned<DeValue<'t>>, &Spanned<DeValue<'t>>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let value = self.get(key)?;
        let mut pairs = Vec::new();
        for item in self.items(key, value)?.iter() {
            match item.get_ref().as_array() {
                Some(pair) if pair.len() == 2 => pairs.extend(read(self, &pair[0], &pair[1])),
                _ => return self.wrong_type(key, item, wanted),
            }
        }
        Some(pairs)
    }

    /// Reads a quantity from a value of this table.
    pub fn parse_quantity(&self, key: &str, value: &Spanned<DeValue<'t>>, quantity: Quantity) -> Option<f64> {
        let Some(text) = value.get_ref().as_str() else {
            return self.wrong_type(
                key,
                value,
                &format!("a {} in quotes such as \"{}\"", quantity.name(), quantity.example()),
            );
        };
        units::parse(text, quantity)
            .map_err(|error| {
                let kind = match error {
                    UnitError::OutOfRange { .. } => ProblemKind::OutOfRange,
                    _ => ProblemKind::UnknownUnit,
                };
                let mend = format!("write {key} as {}", quantity.example());
                self.error(kind, self.line_of(value), error.to_string(), &mend);
            })
            .ok()
    }

    /// A plain number of this table.
    pub fn parse_number(&self, key: &str, value: &Spanned<DeValue<'t>>) -> Option<f64> {
        number_of(value.get_ref()).or_else(|| self.wrong_type(key, value, "a number"))
    }

    /// A list of texts that must be there.
    pub fn texts(&self, key: &'static str) -> Option<Lined<Vec<Lined<String>>>> {
        let value = self.required(key, "a list of texts")?;
        self.text_list(key, value)
    }

    /// A list of texts that may be there.
    pub fn optional_texts(&self, key: &'static str) -> Vec<Lined<String>> {
        let list = self.get(key).and_then(|value| self.text_list(key, value));
        list.map(|list| list.value).unwrap_or_default()
    }

    /// Reads a list of texts from a value of this table.
    pub fn text_list(&self, key: &str, value: &Spanned<DeValue<'t>>) -> Option<Lined<Vec<Lined<String>>>> {
        let mut texts = Vec::new();
        for item in self.items(key, value)?.iter() {
            match item.get_ref().as_str() {
                Some(text) => texts.push(Lined { value: text.to_string(), line: self.line_of(item) }),
                None => return self.wrong_type(key, item, "a text in quotes"),
            }
        }
        Some(Lined { value: texts, line: self.line_of(value) })
    }

    /// A list of lists of texts that must be there.
    pub fn text_lists(&self, key: &'static str) -> Option<Vec<Vec<String>>> {
        let value = self.required(key, "a list of lists")?;
        let lists = self.items(key, value)?;
        let read =
            |list| self.text_list(key, list).map(|texts| texts.value.into_iter().map(|text| text.value).collect());
        Some(lists.iter().filter_map(read).collect())
    }

    /// A table inside this one, if it is there.
    pub fn table(&self, key: &'static str) -> Option<Section<'r, 't>> {
        let value = self.get(key)?;
        match value.get_ref().as_table() {
            Some(table) => Some(self.reader.section(table, self.path(key), self.line_of(value))),
            None => self.wrong_type(key, value, "a table"),
        }
    }

    /// The tables of a list of tables (`[[key]]`).
    pub fn tables(&self, key: &'static str) -> Vec<Section<'r, 't>> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        let Some(items) = self.items(key, value) else {
            return Vec::new();
        };
        let section = |(i, item): (usize, &'r Spanned<DeValue<'t>>)| match item.get_ref().as_table() {
            Some(table) => {
                Some(self.reader.section(table, format!("{} {}", self.path(key), i + 1), self.line_of(item)))
            }
            None => self.wrong_type(key, item, "a table"),
        };
        items.iter().enumerate().filter_map(section).collect()
    }

    /// Named tables inside the table `key` (`[key.NAME]`), in the order in which they are written.
    pub fn named_tables(&self, key: &'static str) -> Vec<(String, Section<'r, 't>)> {
        let section = |(name, value): (String, &'r Spanned<DeValue<'t>>)| match value.get_ref().as_table() {
            Some(table) => Some((name.clone(), self.reader.section(table, name, self.line_of(value)))),
            None => self.wrong_type(&name, value, "a table"),
        };
        self.entries(key).into_iter().filter_map(section).collect()
    }

    /// The entries of the table `key`, in the order in which they are written.
    pub fn entries(&self, key: &'static str) -> Vec<(String, &'r Spanned<DeValue<'t>>)> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_type::<()>(key, value, "a table");
            return Vec::new();
        };
        let mut entries: Vec<_> = table.iter().collect();
        entries.sort_by_key(|(name, _)| name.span().start);
        entries.into_iter().map(|(name, value)| (name.get_ref().to_string(), value)).collect()
    }

    /// The line a value stands on.
    pub fn line_of(&self, value: &Spanned<DeValue<'t>>) -> usize {
        self.reader.line_at(value.span().start)
    }

    /// Reports a value of the wrong type.
    pub fn wrong_type<T>(&self, key: &str, value: &Spanned<DeValue<'t>>, wanted: &str) -> Option<T> {
        let what = format!("`{key}` is {} here", value.get_ref().type_str());
        self.error(ProblemKind::WrongType, self.line_of(value), what, &format!("write {wanted}"));
        None
    }

    fn get(&self, key: &'static str) -> Option<&'r Spanned<DeValue<'t>>> {
        if !self.asked.borrow().contains(&key) {
            self.asked.borrow_mut().push(key);
        }
        self.table.get(key)
    }

    fn required(&self, key: &'static str, wanted: &str) -> Option<&'r Spanned<DeValue<'t>>> {
        let value = self.get(key);
        if value.is_none() {
            let mend = format!("add `{key} = ..` ({wanted})");
            self.error(ProblemKind::MissingKey, self.line, format!("`{key}` is missing"), &mend);
        }
        value
    }

    fn items(&self, key: &str, value: &'r Spanned<DeValue<'t>>) -> Option<&'r DeArray<'t>> {
        value.get_ref().as_array().or_else(|| self.wrong_type(key, value, "a list in brackets"))
    }

    fn path(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_string() } else { format!("{} {key}", self.name) }
    }

    /// Whether the document is of the format known here; keys of another format are not judged.
    fn check_format(&self) -> bool {
        let known = self.has_known_format();
        self.foreign.set(!known);
        known
    }

    fn has_known_format(&self) -> bool {
        let mend = format!("begin the document with `format = {FORMAT}`");
        let Some(value) = self.get("format") else {
            self.error(ProblemKind::NoFormat, 1, "the document does not say its format", &mend);
            return false;
        };
        match value.get_ref().as_integer().and_then(|integer| integer.as_str().parse::<i64>().ok()) {
            Some(FORMAT) => true,
            Some(newer) if newer > FORMAT => {
                let what = format!("the document has format {newer}, newer than the {FORMAT} this program knows");
                self.error(ProblemKind::NewerFormat, self.line_of(value), what, "use a newer dryfit");
                false
            }
            _ => {
                self.error(ProblemKind::NoFormat, self.line_of(value), "there is no such format", &mend);
                false
            }
        }
    }
}

impl Drop for Section<'_, '_> {
    fn drop(&mut self) {
        if self.foreign.get() {
            return;
        }
        let asked = self.asked.borrow();
        for key in self.table.keys().filter(|key| !asked.contains(&key.get_ref().as_ref())) {
            let line = self.reader.line_at(key.span().start);
            let near = suggestion(key.get_ref(), asked.iter().copied());
            let mend = format!("use one of {}, or remove the line", asked.join(", "));
            self.error(ProblemKind::UnknownKey, line, format!("`{}` is no key here{near}", key.get_ref()), &mend);
        }
    }
}

fn number_of(value: &DeValue<'_>) -> Option<f64> {
    let number: f64 = match value {
        DeValue::Integer(integer) => integer.as_str().parse().ok()?,
        DeValue::Float(float) => float.as_str().parse().ok()?,
        _ => return None,
    };
    number.is_finite().then_some(number)
}
