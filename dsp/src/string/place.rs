//! Products of what two pickups sense, averaged over the cells of a frequency grid.
//!
//! A comb moves faster than a coarse grid can follow, above all at the top. What a smooth filter can do there is the mean,
//! so each point stands for its cell: from the midpoint to its left neighbour to the midpoint to its right one, the outer
//! cells ending at the outer points.

use super::{Energies, StiffString, sensing};
use crate::document::Guitar;

/// For each pair of pickups and each frequency M_ij = sum_s E_s <g_i S_is g_j S_js>, with the power that fills the nulls
/// added where i = j. With responses H the power of a mix is sum_ij H_i H_j* M_ij.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceTable {
    pickups: usize,
    points: usize,
    products: Vec<f64>,
}

impl PlaceTable {
    /// The table for prior energies at these frequencies (in hertz, ascending).
    ///
    /// # Panics
    /// When the frequencies do not ascend.
    pub fn prior(guitar: &Guitar, hertz: &[f64]) -> Self {
        SensingTable::new(guitar, hertz).weigh(&Energies::prior(guitar, hertz))
    }

    /// How many pickups the guitar has.
    pub fn pickups(&self) -> usize {
        self.pickups
    }

    /// How many frequencies there are.
    pub fn points(&self) -> usize {
        self.points
    }

    /// M_ij, one value per frequency; the same as M_ji.
    ///
    /// # Panics
    /// When the guitar has no such pickup.
    pub fn product(&self, i: usize, j: usize) -> &[f64] {
        let pair = pair(self.pickups, i, j);
        &self.products[pair * self.points..][..self.points]
    }
}

/// The same products string by string and without energies: what stays as it is when the playing changes.
#[derive(Debug, Clone, PartialEq)]
pub struct SensingTable {
    strings: usize,
    pickups: usize,
    points: usize,
    products: Vec<f64>,
}

impl SensingTable {
    /// The table at these frequencies (in hertz, ascending).
    ///
    /// # Panics
    /// When the frequencies do not ascend.
    pub fn new(guitar: &Guitar, hertz: &[f64]) -> Self {
        assert!(hertz.is_sorted(), "frequencies of a table must ascend");
        let (strings, pickups, points) = (guitar.strings.len(), guitar.pickups.len(), hertz.len());
        let mut table = Self { strings, pickups, points, products: vec![0.0; strings * pairs(pickups) * points] };
        for (s, string) in StiffString::all(guitar).iter().enumerate() {
            let places = Places::under(guitar, s);
            for point in 0..points {
                for (frequency, weight) in cell(hertz, point, |f| places.phase(string, f)) {
                    let sensed = places.sense(string, frequency);
                    table.add(s, point, weight, &sensed);
                }
            }
        }
        table
    }

    /// Mean of g_i S_is g_j S_js for string `s`, one value per frequency.
    ///
    /// # Panics
    /// When the guitar has no such string or pickup.
    pub fn product(&self, s: usize, i: usize, j: usize) -> &[f64] {
        assert!(s < self.strings, "string {s} of {}", self.strings);
        let row = s * pairs(self.pickups) + pair(self.pickups, i, j);
        &self.products[row * self.points..][..self.points]
    }

    /// The sum over the strings, each weighed with its energy.
    ///
    /// # Panics
    /// When the energies are for another number of strings or frequencies.
    pub fn weigh(&self, energies: &Energies) -> PlaceTable {
        assert_eq!(energies.per_string.len(), self.strings, "energies for as many strings as the guitar has");
        let mut products = vec![0.0; pairs(self.pickups) * self.points];
        for (s, energy) in energies.per_string.iter().enumerate() {
            assert_eq!(energy.len(), self.points, "energies at as many frequencies as the table has");
            let string = &self.products[s * products.len()..][..products.len()];
            for (index, (sum, product)) in products.iter_mut().zip(string).enumerate() {
                *sum += energy[index % self.points] * product;
            }
        }
        PlaceTable { pickups: self.pickups, points: self.points, products }
    }

    /// Adds what the pickups sense at one frequency of a cell.
    fn add(&mut self, s: usize, point: usize, weight: f64, sensed: &[Sensed]) {
        for (i, one) in sensed.iter().enumerate() {
            for (j, other) in sensed.iter().enumerate().skip(i) {
                let filling = if i == j { one.filling } else { 0.0 };
                let row = s * pairs(self.pickups) + pair(self.pickups, i, j);
                self.products[row * self.points + point] += weight * (one.signal * other.signal + filling);
            }
        }
    }
}

/// What one pickup gives at one frequency: the signed amplitude, and the power that fills its nulls.
struct Sensed {
    signal: f64,
    filling: f64,
}

/// The pickups as they lie under one string.
struct Places<'a> {
    guitar: &'a Guitar,
    distances: Vec<f64>,
}

impl<'a> Places<'a> {
    fn under(guitar: &'a Guitar, s: usize) -> Self {
        let distances = guitar.pickups.iter().map(|pickup| pickup.distance(s, guitar.strings.len())).collect();
        Self { guitar, distances }
    }

    /// Phase of the fastest movement in any product, in radians: that of sin^2 at the farthest pickup.
    fn phase(&self, string: &StiffString, hertz: f64) -> f64 {
        2.0 * string.wavenumber(hertz) * self.distances.iter().fold(0.0, |far: f64, &x| far.max(x.abs()))
    }

    fn sense(&self, string: &StiffString, hertz: f64) -> Vec<Sensed> {
        let wavenumber = string.wavenumber(hertz);
        let of_pickup = |(pickup, &distance): (_, &f64)| {
            let voice = sensing::voice(pickup, hertz);
            let top = voice * sensing::aperture(pickup, wavenumber);
            Sensed {
                signal: voice * sensing::sense(pickup, distance, wavenumber),
                filling: sensing::null_floor(pickup) * top * top,
            }
        };
        self.guitar.pickups.iter().zip(&self.distances).map(of_pickup).collect()
    }
}

/// Nodes and weights of Gauss and Legendre for four points between -1 and 1 (Abramowitz and Stegun 25.4.30).
const GAUSS: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_8),
    (-0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_3, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_8),
];

/// Frequencies and weights (of sum 1) for the mean over one cell: as many panels as keep the phase within one radian each,
/// where four points a panel leave an error below 1e-7.
fn cell(hertz: &[f64], point: usize, phase: impl Fn(f64) -> f64) -> impl Iterator<Item = (f64, f64)> {
    let here = hertz[point];
    let low = if point == 0 { here } else { 0.5 * (hertz[point - 1] + here) };
    let high = hertz.get(point + 1).map_or(here, |next| 0.5 * (here + next));
    let panels = (phase(high) - phase(low)).ceil().max(1.0);
    let half = 0.5 * (high - low) / panels;
    (0..panels as usize).flat_map(move |panel| {
        let middle = low + half * (2 * panel + 1) as f64;
        GAUSS.map(|(node, weight)| (middle + half * node, 0.5 * weight / panels))
    })
}

/// Unordered pairs of pickups, each with itself included.
fn pairs(pickups: usize) -> usize {
    pickups * (pickups + 1) / 2
}

/// Index of a pair, whichever of the two comes first.
fn pair(pickups: usize, i: usize, j: usize) -> usize {
    let (low, high) = (i.min(j), i.max(j));
    assert!(high < pickups, "pickup {high} of {pickups}");
    high * (high + 1) / 2 + low
}
