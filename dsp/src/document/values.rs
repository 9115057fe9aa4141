//! Texts, numbers and quantities of a table being read.

use toml::de::DeValue;

use super::limits;
use super::problem::{ProblemKind, shortened};
use super::reader::Lined;
use super::section::{Section, Texts, Value};
use crate::units::{self, Quantity, UnitError};

impl<'t> Section<'_, 't> {
    /// A text that must be there.
    pub fn text(&self, key: &'static str) -> Option<Lined<String>> {
        self.required(key, "\"..\"")?;
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

    /// Name or path of another document, that must be there and not be empty.
    pub fn document_name(&self, key: &'static str) -> Option<String> {
        let text = self.text(key)?;
        if text.value.trim().is_empty() {
            let mend = "write the name of a document, or the path of a file";
            self.error(ProblemKind::BadName, text.line, format!("`{key}` names nothing"), mend);
            return None;
        }
        Some(text.value)
    }

    /// A label that must be there and not be empty.
    pub fn label(&self, key: &'static str) -> Option<Lined<String>> {
        let text = self.text(key)?;
        self.check_label(key, &text.value, text.line).then_some(text)
    }

    /// Reports a label that would not show.
    pub fn check_label(&self, key: &str, label: &str, line: usize) -> bool {
        let shows = !label.trim().is_empty() && !label.chars().any(char::is_control);
        let sound = shows && label.trim() == label && label.chars().count() <= limits::NAME;
        if !sound {
            let what = format!("`{}` is \"{}\"", shortened(key), shortened(label));
            let mend = format!("write 1 to {} characters that show, without spaces around them", limits::NAME);
            self.error(ProblemKind::BadName, line, what, &mend);
        }
        sound
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
            None => self.wrong_type(key, value, "true or false, without quotes"),
        }
    }

    /// A quantity that must be there, in SI.
    pub fn quantity(&self, key: &'static str, quantity: Quantity) -> Option<f64> {
        self.required(key, &example(quantity))?;
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
        self.parse_number(key, value)
    }

    /// A plain number that must be there.
    pub fn number(&self, key: &'static str) -> Option<f64> {
        self.required(key, "1.0")?;
        self.optional_number(key)
    }

    /// A list of quantities of fixed length.
    pub fn quantities<const N: usize>(&self, key: &'static str, quantity: Quantity) -> Option<[f64; N]> {
        let value = self.required(key, &format!("[{}]", vec![example(quantity); N].join(", ")))?;
        let items = self.items(key, value)?;
        if items.len() != N {
            let what = format!("`{key}` needs {N} entries and has {}", items.len());
            let mend = format!("write it such as [{}]", vec![example(quantity); N].join(", "));
            self.error(ProblemKind::WrongType, self.line_of(value), what, &mend);
            return None;
        }
        let values: Vec<_> = items.iter().map(|item| self.parse_quantity(key, item, quantity)).collect();
        values.into_iter().collect::<Option<Vec<_>>>()?.try_into().ok()
    }

    /// Reads a quantity from a value of this table.
    pub fn parse_quantity(&self, key: &str, value: &Value<'t>, quantity: Quantity) -> Option<f64> {
        let Some(text) = value.get_ref().as_str() else {
            return self.wrong_type(key, value, &format!("it in quotes with its unit, such as {}", example(quantity)));
        };
        let line = self.line_of(value);
        units::parse(text, quantity)
            .map_err(|error| {
                let (kind, what, mend) = unit_problem(&error, text, quantity);
                self.error(kind, line, what, &mend);
            })
            .ok()
    }

    /// A plain number of this table.
    pub fn parse_number(&self, key: &str, value: &Value<'t>) -> Option<f64> {
        let number = match value.get_ref() {
            DeValue::Integer(_) => self.integer(value),
            DeValue::Float(float) => float.as_str().parse().ok(),
            _ => return self.wrong_type(key, value, "a number, without quotes"),
        };
        let finite = number.filter(|number| number.is_finite());
        if finite.is_none() {
            let what = format!("`{}` is no finite number", shortened(key));
            self.error(ProblemKind::OutOfRange, self.line_of(value), what, "write a number such as 1.05");
        }
        finite
    }

    /// A whole number in whatever base it is written.
    pub(super) fn integer(&self, value: &Value<'t>) -> Option<f64> {
        let integer = value.get_ref().as_integer()?;
        match integer.radix() {
            10 => integer.as_str().parse().ok(),
            radix => i64::from_str_radix(integer.as_str(), radix).ok().map(|number| number as f64),
        }
    }

    /// A list of texts that may be there.
    pub fn optional_texts(&self, key: &'static str) -> Vec<Lined<String>> {
        let list = self.get(key).and_then(|value| self.text_list(key, value));
        list.map(|list| list.value).unwrap_or_default()
    }

    /// A list of texts that must be there.
    pub fn texts(&self, key: &'static str) -> Option<Texts> {
        let value = self.required(key, "[\"..\", \"..\"]")?;
        self.text_list(key, value)
    }

    /// Reads a list of texts from a value of this table, at most as many as lugs fit on a joint.
    pub fn text_list(&self, key: &str, value: &Value<'t>) -> Option<Texts> {
        let Some(items) = value.get_ref().as_array() else {
            return self.wrong_type(key, value, "a list in brackets");
        };
        self.fits(value, items.len(), limits::LUGS_OF_A_JOINT, "entries of a list");
        let mut texts = Vec::new();
        for item in items.iter().take(limits::LUGS_OF_A_JOINT) {
            match item.get_ref().as_str() {
                Some(text) => texts.push(Lined { value: text.to_string(), line: self.line_of(item) }),
                None => _ = self.wrong_type::<()>(key, item, "a list of texts in quotes"),
            }
        }
        Some(Lined { value: texts, line: self.line_of(value) })
    }

    /// A list of lists of texts that must be there.
    pub fn text_lists(&self, key: &'static str) -> Option<Vec<Texts>> {
        let example = "[[\"a\", \"a1\"]]";
        let value = self.required(key, example)?;
        let lists = self.items(key, value)?;
        if let Some(text) = lists.iter().find(|list| list.get_ref().is_str()) {
            let what = format!("`{}` is one list here", shortened(key));
            let mend = format!("write a list of lists, each in brackets of its own: {example}");
            self.error(ProblemKind::WrongType, self.line_of(text), what, &mend);
            return None;
        }
        self.fits(value, lists.len(), limits::LUGS, "lists");
        Some(lists.iter().take(limits::LUGS).filter_map(|list| self.text_list(key, list)).collect())
    }
}

/// Whether there are texts in a value and lists of them, and nothing else.
pub(super) fn holds_only_texts(value: &Value<'_>) -> bool {
    match value.get_ref() {
        DeValue::String(_) => true,
        DeValue::Array(items) => items.iter().all(holds_only_texts),
        _ => false,
    }
}

/// An example of a quantity as it stands in a document.
fn example(quantity: Quantity) -> String {
    let example = quantity.example();
    format!("\"{}\"", example.split(" or ").next().unwrap_or(example))
}

/// Which problem a text is that is no quantity: its kind, what is wrong and what would mend it.
pub(super) fn unit_problem(error: &UnitError, text: &str, quantity: Quantity) -> (ProblemKind, String, String) {
    let (shown, usual) = (shortened(text), format!("write it such as {}", example(quantity)));
    match error {
        UnitError::NoNumber { .. } => {
            (ProblemKind::UnknownUnit, format!("`{shown}` does not begin with a number"), usual)
        }
        UnitError::UnknownUnit { unit, .. } => (
            ProblemKind::UnknownUnit,
            format!("`{}` in `{shown}` is no unit of {}", shortened(unit), quantity.name()),
            usual,
        ),
        UnitError::NoUnit { .. } => (ProblemKind::UnknownUnit, format!("`{shown}` has no unit"), usual),
        UnitError::DecimalComma { .. } => {
            (ProblemKind::UnknownUnit, format!("`{shown}` has a comma"), format!("write {}", shown.replace(',', ".")))
        }
        UnitError::OutOfRange { .. } => {
            let what = format!("`{shown}` is beyond anything in a guitar");
            (ProblemKind::OutOfRange, what, usual)
        }
    }
}
