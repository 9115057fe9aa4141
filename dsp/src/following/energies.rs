//! What strings hold where nothing was heard of them.

use super::lattice::Lattice;
use crate::document::Guitar;
use crate::string::{Playing, prior};

/// Fills what the notes that are heard leave empty.
#[derive(Debug, Clone)]
pub(super) struct StringEnergies {
    floor: f32,
    /// Per string and point: its share of the prior at that frequency.
    shares: Vec<f32>,
    /// Per point: where the broad average around it begins and ends.
    around: Vec<Around>,
    sums: Vec<f64>,
    broad: Vec<f32>,
    total: Vec<f32>,
}

/// Points from one to before another, of which each has that share.
#[derive(Debug, Clone, Copy)]
struct Around {
    from: usize,
    to: usize,
    share: f64,
}

impl StringEnergies {
    /// How much more a string's own broad average counts than the prior: a partial that nothing was heard of yet is most likely
    /// the next note's on a string that sounds already.
    const OWN: f32 = 8.0;

    /// With the prior's power of so large a share of all that is heard near a frequency.
    pub(super) fn new(guitar: &Guitar, lattice: &Lattice, floor: f32) -> Self {
        let hertz: Vec<f64> = lattice.hertz().collect();
        let (points, strings) = (hertz.len(), guitar.strings.len());
        let mut shares = Vec::with_capacity(points * strings);
        for string in &guitar.strings {
            let share = |&f: &f64| {
                let all: f64 = guitar.strings.iter().map(|other| prior(other.pitch, f)).sum();
                (prior(string.pitch, f) / all) as f32
            };
            shares.extend(hertz.iter().map(share));
        }
        // An octave, and at least 200 Hz.
        let around = |&f: &f64| {
            let (low, high) = ((f / 2f64.sqrt()).min(f - 100.0), (f * 2f64.sqrt()).max(f + 100.0));
            let from = (low / lattice.spacing()).round().max(0.0) as usize;
            let to = (high / lattice.spacing()).round() as usize + 1;
            let to = to.min(points);
            Around { from, to, share: 1.0 / (to - from) as f64 }
        };
        let around = hertz.iter().map(around).collect();
        Self {
            floor,
            shares,
            around,
            sums: vec![0.0; points + 1],
            broad: vec![0.0; points * strings],
            total: vec![0.0; points],
        }
    }

    /// Adds the floors: a little of the prior, and of each string's own broad average.
    pub(super) fn fill(&mut self, playing: &mut Playing) {
        let points = self.total.len();
        self.total.fill(0.0);
        for (string, broad) in self.broad.chunks_exact_mut(points).enumerate() {
            let mut sum = 0.0;
            for (sums, &power) in self.sums[1..].iter_mut().zip(playing.power(string)) {
                sum += f64::from(power);
                *sums = sum;
            }
            for ((broad, total), around) in broad.iter_mut().zip(&mut self.total).zip(&self.around) {
                *broad = ((self.sums[around.to] - self.sums[around.from]) * around.share) as f32;
                *total += *broad;
            }
        }
        let rows = self.broad.chunks_exact(points).zip(self.shares.chunks_exact(points));
        for (string, (broad, shares)) in rows.enumerate() {
            for (point, power) in playing.power_mut(string).iter_mut().enumerate() {
                *power += self.floor * (self.total[point] * shares[point] + Self::OWN * broad[point]);
            }
        }
    }
}
