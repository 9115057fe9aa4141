//! The pickups' places on a fine lattice, where the comb of a single string is resolved.

use crate::document::Guitar;
use crate::string::SensingTable;

/// Products of what two pickups sense of each string, at frequencies fine enough to tell the teeth of a comb apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Places {
    hertz: Vec<f64>,
    strings: usize,
    pickups: usize,
    products: Vec<f32>,
}

impl Places {
    /// Those of a guitar, at frequencies in hertz, evenly spaced from 0 Hz on.
    ///
    /// # Panics
    /// When the frequencies do not ascend.
    pub fn new(guitar: &Guitar, hertz: impl Iterator<Item = f64>) -> Self {
        let hertz: Vec<f64> = hertz.collect();
        let (strings, pickups) = (guitar.strings.len(), guitar.pickups.len());
        let table = SensingTable::new(guitar, &hertz);
        let mut products = Vec::with_capacity(strings * pairs(pickups).count() * hertz.len());
        for s in 0..strings {
            for (i, j) in pairs(pickups) {
                products.extend(table.product(s, i, j).iter().map(|&product| product as f32));
            }
        }
        Self { hertz, strings, pickups, products }
    }

    /// The frequencies, in hertz.
    pub fn hertz(&self) -> &[f64] {
        &self.hertz
    }

    /// How many strings the guitar has.
    pub(super) fn strings(&self) -> usize {
        self.strings
    }

    /// How many pickups the guitar has.
    pub(super) fn pickups(&self) -> usize {
        self.pickups
    }

    /// The product for a string and a pair, in the order of [`pairs`], one value per frequency.
    pub(super) fn product(&self, string: usize, pair: usize) -> &[f32] {
        let row = string * pairs(self.pickups).count() + pair;
        &self.products[row * self.hertz.len()..][..self.hertz.len()]
    }
}

/// Unordered pairs of pickups, each with itself included.
pub(super) fn pairs(pickups: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..pickups).flat_map(move |i| (i..pickups).map(move |j| (i, j)))
}
