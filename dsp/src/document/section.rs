//! One table of a document being read.

use std::cell::{Cell, RefCell};

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::limits;
use super::problem::{ProblemKind, shortened};
use super::reader::{FORMAT, Lined, Reader};
use super::suggestion::suggestion;

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

impl<'r, 't> Section<'r, 't> {
    /// The table that is the whole document.
    pub fn top(reader: &'r Reader<'t>, table: &'r DeTable<'t>) -> Self {
        Self::new(reader, table, String::new(), 1)
    }

    fn new(reader: &'r Reader<'t>, table: &'r DeTable<'t>, name: String, line: usize) -> Self {
        Self { reader, name, line, table, asked: RefCell::default(), foreign: Cell::new(false) }
    }

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

    /// Whether the key is missing, or holds an empty list or table.
    pub fn lacks(&self, key: &'static str) -> bool {
        self.get(key).is_none_or(|value| match value.get_ref() {
            DeValue::Array(list) => list.is_empty(),
            DeValue::Table(table) => table.is_empty(),
            _ => false,
        })
    }

    /// The line a key's value stands on, or the table's own when it is missing.
    pub fn line_of_key(&self, key: &'static str) -> usize {
        self.get(key).map_or(self.line, |value| self.line_of(value))
    }

    /// Whether the key holds a list.
    pub fn is_list(&self, key: &'static str) -> bool {
        self.get(key).is_some_and(|value| value.get_ref().is_array())
    }

    /// A list of pairs, each item read by `read`, which gets the two values.
    pub fn pairs<T>(
        &self,
        key: &'static str,
        wanted: &str,
        read: impl Fn(&Self, &Spanned<DeValue<'t>>, &Spanned<DeValue<'t>>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let value = self.get(key)?;
        let items = self.items(key, value)?;
        if !self.fits(value, items.len(), limits::POINTS, "points") {
            return None;
        }
        let mut pairs = Vec::new();
        for item in items.iter() {
            match item.get_ref().as_array() {
                Some(pair) if pair.len() == 2 => pairs.push(read(self, &pair[0], &pair[1])),
                _ => return self.wrong_type(key, item, wanted),
            }
        }
        pairs.into_iter().collect()
    }

    /// A table inside this one, if it is there.
    pub fn table(&self, key: &'static str) -> Option<Section<'r, 't>> {
        let value = self.get(key)?;
        match value.get_ref().as_table() {
            Some(table) => Some(Section::new(self.reader, table, self.path(key), self.line_of(value))),
            None => self.wrong_type(key, value, &format!("a table under a heading [{key}]")),
        }
    }

    /// The tables of a list of tables (`[[key]]`), at most `most`.
    pub fn tables(&self, key: &'static str, most: usize) -> Vec<Section<'r, 't>> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        let wanted = format!("a table under a heading [[{key}]] for each");
        let Some(items) = value.get_ref().as_array() else {
            self.wrong_type::<()>(key, value, &wanted);
            return Vec::new();
        };
        self.fits(value, items.len(), most, key);
        let section = |(i, item): (usize, &'r Spanned<DeValue<'t>>)| match item.get_ref().as_table() {
            Some(table) => {
                let name = format!("{} {}", self.path(key), i + 1);
                Some(Section::new(self.reader, table, name, self.line_of(item)))
            }
            None => self.wrong_type(key, item, &wanted),
        };
        items.iter().take(most).enumerate().filter_map(section).collect()
    }

    /// Named tables inside the table `key` (`[key.NAME]`), in the order in which they are written, at most `most`.
    pub fn named_tables(&self, key: &'static str, most: usize) -> Vec<(String, Section<'r, 't>)> {
        let section = |(name, value): (String, &'r Spanned<DeValue<'t>>)| match value.get_ref().as_table() {
            Some(table) => Some((name.clone(), Section::new(self.reader, table, name, self.line_of(value)))),
            None => self.wrong_type(&name, value, &format!("a table under a heading [{key}.{}]", shortened(&name))),
        };
        self.entries(key, most).into_iter().filter_map(section).collect()
    }

    /// The entries of the table `key`, in the order in which they are written, at most `most`.
    pub fn entries(&self, key: &'static str, most: usize) -> Vec<(String, &'r Spanned<DeValue<'t>>)> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        self.entries_of(key, value, &format!("a table under a heading [{key}]"), most)
    }

    /// The same of a value that should be a table; `wanted` says what should be written where it is none.
    pub fn entries_of(
        &self,
        key: &str,
        value: &'r Spanned<DeValue<'t>>,
        wanted: &str,
        most: usize,
    ) -> Vec<(String, &'r Spanned<DeValue<'t>>)> {
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_type::<()>(key, value, wanted);
            return Vec::new();
        };
        self.fits(value, table.len(), most, key);
        let mut entries: Vec<_> = table.iter().collect();
        entries.sort_by_key(|(name, _)| name.span().start);
        entries.into_iter().take(most).map(|(name, value)| (name.get_ref().to_string(), value)).collect()
    }

    /// The line a value stands on.
    pub fn line_of(&self, value: &Spanned<DeValue<'t>>) -> usize {
        self.reader.line_at(value.span().start)
    }

    /// Reports a value of the wrong type.
    pub fn wrong_type<T>(&self, key: &str, value: &Spanned<DeValue<'t>>, wanted: &str) -> Option<T> {
        let found = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let what = format!("`{}` is {found} here", shortened(key));
        self.error(ProblemKind::WrongType, self.line_of(value), what, &format!("write {wanted}"));
        None
    }

    /// Reports more of something than are read.
    pub fn fits(&self, value: &Spanned<DeValue<'t>>, count: usize, most: usize, of_what: &str) -> bool {
        if count > most {
            let what = format!("{count} {of_what} are more than the {most} that are read");
            self.error(ProblemKind::TooLarge, self.line_of(value), what, "leave some out");
        }
        count <= most
    }

    /// Reports a name that cannot be part of `PART.LUG`.
    pub fn check_name(&self, name: &str, line: usize) {
        let sound = name.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'));
        if name.is_empty() || !sound || name.chars().count() > limits::NAME {
            let what = format!("`{}` cannot be a name", shortened(name));
            let mend = format!("use letters, digits, - and _, at most {} of them", limits::NAME);
            self.error(ProblemKind::BadName, line, what, &mend);
        }
    }

    pub(super) fn get(&self, key: &'static str) -> Option<&'r Spanned<DeValue<'t>>> {
        if !self.asked.borrow().contains(&key) {
            self.asked.borrow_mut().push(key);
        }
        self.table.get(key)
    }

    pub(super) fn required(&self, key: &'static str, example: &str) -> Option<&'r Spanned<DeValue<'t>>> {
        let value = self.get(key);
        if value.is_none() {
            let mend = format!("add a line such as {key} = {example}");
            self.error(ProblemKind::MissingKey, self.line, format!("`{key}` is missing"), &mend);
        }
        value
    }

    pub(super) fn items(&self, key: &str, value: &'r Spanned<DeValue<'t>>) -> Option<&'r DeArray<'t>> {
        value.get_ref().as_array().or_else(|| self.wrong_type(key, value, "a list in brackets"))
    }

    fn path(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_string() } else { format!("{} {key}", self.name) }
    }

    /// Whether the document is of the format known here; keys of another format are not judged.
    pub(super) fn check_format(&self) -> bool {
        let known = self.has_known_format();
        self.foreign.set(!known);
        known
    }

    fn has_known_format(&self) -> bool {
        let mend = format!("begin the document with format = {FORMAT}");
        let Some(value) = self.get("format") else {
            self.error(ProblemKind::NoFormat, 1, "the document does not say its format", &mend);
            return false;
        };
        let format = match value.get_ref() {
            DeValue::Integer(_) => self.integer(value),
            _ => None,
        };
        match format {
            Some(format) if format == FORMAT as f64 => return true,
            Some(newer) if newer > FORMAT as f64 => {
                let what = format!("the document has format {newer}, newer than the {FORMAT} this program knows");
                self.error(ProblemKind::NewerFormat, self.line_of(value), what, "use a newer dryfit");
            }
            _ => self.error(ProblemKind::NoFormat, self.line_of(value), "there is no such format", &mend),
        }
        false
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
            let what = format!("there is no key `{}` here{near}", shortened(key.get_ref()));
            let mend = format!("use one of {}, or remove the line", asked.join(", "));
            self.error(ProblemKind::UnknownKey, line, what, &mend);
        }
    }
}

/// A value of a document together with where it stands.
pub(super) type Value<'t> = Spanned<DeValue<'t>>;

/// A list of texts, each with its line.
pub(super) type Texts = Lined<Vec<Lined<String>>>;
