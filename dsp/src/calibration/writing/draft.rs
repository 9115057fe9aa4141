//! The document under the pen.

use toml_edit::{Array, DocumentMut, InlineTable, Item, TableLike, Value};

use crate::document::{Guitar, Problems};

/// A guitar document that gets figures, each with a comment of where it is from. What is not touched stays as it was written.
#[derive(Debug, Clone)]
pub struct Draft {
    document: DocumentMut,
}

impl Draft {
    /// From a guitar document that reads without problems.
    ///
    /// # Panics
    /// When it does not.
    pub fn new(text: &str) -> Self {
        let mut document: DocumentMut = text.parse().expect("a document that was read is TOML");
        unfold(&mut document);
        Self { document }
    }

    /// Sets a key at the top.
    pub fn set_top(&mut self, key: &str, value: impl Into<Value>, from: &str) {
        set(self.document.as_table_mut(), key, value.into(), from);
    }

    /// Sets a key of the string with that index, 0 for the lowest.
    ///
    /// # Panics
    /// When the guitar has no such string.
    pub fn set_string(&mut self, index: usize, key: &str, value: impl Into<Value>, from: &str) {
        set(self.string(index), key, value.into(), from);
    }

    /// Takes a key from the string with that index, 0 for the lowest.
    ///
    /// # Panics
    /// When the guitar has no such string.
    pub fn remove_from_string(&mut self, index: usize, key: &str) {
        self.string(index).remove(key);
    }

    /// Sets a key of a pickup.
    ///
    /// # Panics
    /// When the guitar has no such pickup.
    pub fn set_pickup(&mut self, pickup: &str, key: &str, value: impl Into<Value>, from: &str) {
        let table = self.document["pickups"][pickup].as_table_like_mut();
        set(table.expect("the guitar has this pickup"), key, value.into(), from);
    }

    /// The document, which reads without problems.
    ///
    /// # Errors
    /// What is wrong with it now; `file` names it.
    pub fn finish(&self, file: &str) -> Result<(String, Guitar), Problems> {
        let text = self.document.to_string();
        let guitar = Guitar::read(file, &text)?;
        Ok((text, guitar))
    }

    fn string(&mut self, index: usize) -> &mut dyn TableLike {
        let strings = self.document["strings"].as_array_of_tables_mut();
        strings.and_then(|strings| strings.get_mut(index)).expect("the guitar has this string")
    }
}

/// Brings strings and pickups that are written within one line into tables of their own: comments stand at the ends of lines.
fn unfold(document: &mut DocumentMut) {
    if let Some(strings) = document.get("strings").and_then(Item::as_array) {
        let tables = strings.iter().filter_map(Value::as_inline_table);
        let tables = tables.cloned().map(InlineTable::into_table).collect();
        document["strings"] = Item::ArrayOfTables(tables);
    }
    let unfold_table = |item: &mut Item| {
        if let Some(table) = item.as_inline_table() {
            *item = Item::Table(table.clone().into_table());
        }
    };
    if let Some(pickups) = document.get_mut("pickups") {
        unfold_table(pickups);
        let pickups = pickups.as_table_like_mut().into_iter().flat_map(|table| table.iter_mut());
        pickups.for_each(|(_, pickup)| unfold_table(pickup));
    }
}

fn set(table: &mut dyn TableLike, key: &str, mut value: Value, from: &str) {
    value.decor_mut().set_prefix(" ");
    value.decor_mut().set_suffix(if from.is_empty() { String::new() } else { format!("    # {from}") });
    match table.get_mut(key) {
        Some(item) => *item = Item::Value(value),
        None => _ = table.insert(key, Item::Value(value)),
    }
}

/// A list of texts on one line.
pub fn list<T: Into<Value>>(values: impl IntoIterator<Item = T>) -> Value {
    Value::Array(values.into_iter().collect::<Array>())
}
