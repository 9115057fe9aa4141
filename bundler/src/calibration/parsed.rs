//! What is written on the command line, as numbers; everything that is wrong is collected.

use dryfit_dsp::document::{Guitar, suggestion};
use dryfit_dsp::units::{self, Quantity};

use crate::Failure;

/// Reads arguments for a guitar and keeps what is wrong with them.
pub(super) struct Parser<'a> {
    guitar: &'a Guitar,
    pub(super) failures: Vec<Failure>,
}

impl<'a> Parser<'a> {
    pub(super) fn new(guitar: &'a Guitar) -> Self {
        Self { guitar, failures: Vec::new() }
    }

    pub(super) fn refuse(&mut self, what: String, mend: impl Into<String>) {
        self.failures.push(Failure::Arguments { what, mend: mend.into() });
    }

    /// `PICKUP=VALUE` for each, as index and what `read` makes of the value. A pickup may be named once.
    pub(super) fn by_pickup<T>(
        &mut self,
        argument: &str,
        given: &[String],
        read: impl Fn(&mut Self, &str) -> Option<T>,
    ) -> Vec<(usize, T)> {
        let mut values: Vec<(usize, T)> = Vec::new();
        for text in given {
            let Some((pickup, value)) = self.pickup(argument, text) else { continue };
            if values.iter().any(|(other, _)| *other == pickup) {
                let name = &self.guitar.pickups[pickup].name;
                self.refuse(format!("{argument} is there twice for the {name} pickup"), "keep the right one");
            } else if let Some(value) = read(self, value) {
                values.push((pickup, value));
            }
        }
        values
    }

    fn pickup<'t>(&mut self, argument: &str, text: &'t str) -> Option<(usize, &'t str)> {
        let names: Vec<&str> = self.guitar.pickups.iter().map(|pickup| pickup.name.as_str()).collect();
        let mend = format!("write {argument} PICKUP=VALUE with one of {}", names.join(", "));
        let Some((name, value)) = text.split_once('=') else {
            self.refuse(format!("`{argument} {text}` names no pickup"), mend);
            return None;
        };
        let found = names.iter().position(|other| *other == name.trim());
        if found.is_none() {
            let near = suggestion(name.trim(), names.iter().copied());
            self.refuse(format!("{argument}: the guitar has no pickup `{}`{near}", name.trim()), mend);
        }
        found.map(|index| (index, value.trim()))
    }

    pub(super) fn quantity(&mut self, argument: &str, text: &str, quantity: Quantity) -> Option<f64> {
        units::parse(text, quantity)
            .map_err(|error| {
                self.refuse(format!("{argument}: {error}"), format!("write it as {}", quantity.example()));
            })
            .ok()
    }

    /// One value for each string.
    pub(super) fn by_string<T>(
        &mut self,
        argument: &str,
        text: &str,
        mut read: impl FnMut(&mut Self, &str) -> Option<T>,
    ) -> Option<Vec<T>> {
        let parts: Vec<&str> = text.split(',').map(str::trim).collect();
        let strings = self.guitar.strings.len();
        if parts.len() != strings {
            let what = format!("{argument} has {} values for {strings} strings", parts.len());
            self.refuse(what, "give one for each string, from the lowest to the highest, with commas between");
            return None;
        }
        // All of them are read before one that is wrong counts.
        let values: Vec<Option<T>> = parts.into_iter().map(|part| read(self, part)).collect();
        values.into_iter().collect()
    }
}
