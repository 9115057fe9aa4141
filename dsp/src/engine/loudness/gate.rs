//! Integrated loudness: the mean of all blocks that pass two gates.

use super::{loudness, mean_square};

/// Blocks by loudness, so that the relative gate can move without the blocks being kept.
///
/// Bins are 0.01 LU wide, and each keeps the exact sum of its blocks' energies. The result is therefore that of the
/// standard but for the one bin the relative gate cuts: its blocks pass or fail together, by their mean. That equals
/// moving the gate by less than 0.01 LU.
pub struct Gate {
    counts: Vec<u32>,
    energies: Vec<f64>,
    /// The loudest bin that holds a block; none above it need be looked at.
    loudest: usize,
    count: u64,
    energy: f64,
}

impl Gate {
    /// BS.1770-5, annex 1: blocks below -70 LKFS never count.
    const ABSOLUTE: f64 = -70.0;
    /// BS.1770-5, annex 1: blocks 10 LU below the mean of the others do not count either.
    const RELATIVE: f64 = 0.1;
    const BINS_PER_LU: f64 = 100.0;
    /// Up to +30 LKFS; louder blocks share the last bin, whose sum is as exact as the others.
    const BINS: usize = 10_000;

    /// A gate through which nothing has gone.
    pub fn new() -> Self {
        Self { counts: vec![0; Self::BINS], energies: vec![0.0; Self::BINS], loudest: 0, count: 0, energy: 0.0 }
    }

    /// Takes the K-weighted mean square of a block, summed over the channels.
    pub fn add(&mut self, block: f64) {
        if block.is_nan() || block <= mean_square(Self::ABSOLUTE) {
            return;
        }
        let bin = Self::bin(block);
        self.loudest = self.loudest.max(bin);
        self.counts[bin] += 1;
        self.energies[bin] += block;
        self.count += 1;
        self.energy += block;
    }

    /// Integrated loudness, in LKFS, or nothing while no block has passed the absolute gate.
    pub fn integrated(&self) -> Option<f64> {
        if self.count == 0 {
            return None;
        }
        let threshold = self.energy / self.count as f64 * Self::RELATIVE;
        let cut = Self::bin(threshold);
        let passes = self.energies[cut] > threshold * f64::from(self.counts[cut]);
        let heard = if passes { cut } else { cut + 1 }..self.loudest + 1;
        let count: u64 = self.counts[heard.clone()].iter().map(|&count| u64::from(count)).sum();
        let energy: f64 = self.energies[heard].iter().sum();
        Some(loudness(energy / count as f64))
    }

    /// Forgets everything.
    pub fn reset(&mut self) {
        self.counts.fill(0);
        self.energies.fill(0.0);
        (self.loudest, self.count, self.energy) = (0, 0, 0.0);
    }

    fn bin(block: f64) -> usize {
        // A threshold below the absolute gate gives a negative number, which becomes 0: every block passes.
        (((loudness(block) - Self::ABSOLUTE) * Self::BINS_PER_LU) as usize).min(Self::BINS - 1)
    }
}

impl Default for Gate {
    fn default() -> Self {
        Self::new()
    }
}
