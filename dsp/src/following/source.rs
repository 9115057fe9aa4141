//! What the recorded circuit makes of a string: where on it the pickups listen, and how loud the jack is.

use num_complex::Complex64;

use crate::circuit::{Grid, Responses};
use crate::document::Guitar;
use crate::string::{StiffString, sensing};

/// The guitar as it was recorded.
#[derive(Debug, Clone)]
pub struct Source {
    pub(super) guitar: Guitar,
    pub(super) strings: Vec<StiffString>,
    grid: Grid,
    responses: Responses,
}

impl Source {
    /// A guitar whose pickups reach the jack with these responses, on a grid.
    ///
    /// # Panics
    /// When there is not one response per pickup.
    pub fn new(guitar: &Guitar, responses: &Responses, grid: &Grid) -> Self {
        assert_eq!(guitar.pickups.len(), responses.pickups(), "one response per pickup");
        let (guitar, strings) = (guitar.clone(), StiffString::all(guitar));
        Self { guitar, strings, grid: grid.clone(), responses: responses.clone() }
    }

    /// Response of each pickup at a frequency, in hertz.
    fn responses(&self, hertz: f64) -> impl Iterator<Item = Complex64> {
        let (first, weights) = self.grid.cubic(hertz);
        (0..self.responses.pickups())
            .map(move |i| (0..4).map(|k| self.responses.at(i, first + k) * weights[k]).sum::<Complex64>())
    }

    /// Magnitude of the circuit, whatever the strings do: root of the sum of the pickups' squares.
    pub(super) fn circuit(&self, hertz: f64) -> f64 {
        self.responses(hertz).map(|response| response.norm_sqr()).sum::<f64>().sqrt()
    }

    /// Power at the jack, relative to the string's, of a wave on a string, by frequency in hertz and wavenumber in radians
    /// per metre.
    pub(super) fn sensed(&self, string: usize, hertz: f64, wavenumber: f64) -> f64 {
        let (mut sum, mut filling) = (Complex64::default(), 0.0);
        for (pickup, response) in self.guitar.pickups.iter().zip(self.responses(hertz)) {
            let distance = pickup.distance(string, self.strings.len());
            let voiced = response * sensing::voice(pickup, hertz);
            sum += voiced * sensing::sense(pickup, distance, wavenumber);
            let top = voiced.norm() * sensing::aperture(pickup, wavenumber);
            filling += sensing::null_floor(pickup) * top * top;
        }
        sum.norm_sqr() + filling
    }
}
