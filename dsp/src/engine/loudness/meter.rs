//! Integrated loudness of a signal of several channels.

use std::ops::Range;

use super::{Gate, KWeighting};

/// Measures in blocks of 400 ms, a new one every 100 ms. Allocates nothing after [`Meter::new`]; what it says does not
/// depend on how the samples are handed over.
pub struct Meter {
    weightings: Vec<KWeighting>,
    /// Sum of squares of the 100 ms that are being heard, per channel.
    sums: Vec<f64>,
    /// Sums of squares of the last four 100 ms.
    recent: [f64; 4],
    heard: usize,
    hop: usize,
    hops: u64,
    gate: Gate,
    /// What the gate gives: it changes with a block only, and is asked for far more often.
    integrated: Option<f64>,
}

impl Meter {
    /// Below this sum of squares (-300 dB) 100 ms are silence, and the weighting's dying tail is cut off before it
    /// becomes denormal, which would be slow.
    const SILENCE: f64 = 1e-30;

    /// For a sample rate, in hertz, and this many channels, each of weight 1 (mono, left, right).
    pub fn new(sample_rate: f64, channels: usize) -> Self {
        Self {
            weightings: (0..channels).map(|_| KWeighting::new(sample_rate)).collect(),
            sums: vec![0.0; channels],
            recent: [0.0; 4],
            heard: 0,
            hop: Self::hop_samples(sample_rate),
            hops: 0,
            gate: Gate::new(),
            integrated: None,
        }
    }

    /// Samples in 100 ms: a quarter of a block, because blocks overlap by 75 %.
    pub fn hop_samples(sample_rate: f64) -> usize {
        (sample_rate / 10.0).round() as usize
    }

    /// Hears `samples` of each channel.
    ///
    /// # Panics
    /// When a channel is shorter than the range.
    pub fn process<S: AsRef<[f32]>>(&mut self, channels: &[S], samples: Range<usize>) {
        let mut start = samples.start;
        while start < samples.end {
            let end = samples.end.min(start + self.hop - self.heard);
            for ((weighting, sum), channel) in self.weightings.iter_mut().zip(&mut self.sums).zip(channels) {
                for &sample in &channel.as_ref()[start..end] {
                    let weighted = weighting.run(f64::from(sample));
                    *sum += weighted * weighted;
                }
            }
            self.heard += end - start;
            start = end;
            if self.heard == self.hop {
                self.complete_hop();
            }
        }
    }

    /// Blocks of 100 ms heard so far.
    pub fn hops(&self) -> u64 {
        self.hops
    }

    /// Integrated loudness since the start, in LKFS, or nothing while there is nothing to measure.
    pub fn integrated(&self) -> Option<f64> {
        self.integrated
    }

    /// Starts anew.
    pub fn reset(&mut self) {
        self.weightings.iter_mut().for_each(KWeighting::reset);
        self.sums.fill(0.0);
        self.recent = [0.0; 4];
        (self.heard, self.hops) = (0, 0);
        self.gate.reset();
        self.integrated = None;
    }

    fn complete_hop(&mut self) {
        self.recent.rotate_left(1);
        self.recent[3] = self.sums.iter().sum();
        for (sum, weighting) in self.sums.iter_mut().zip(&mut self.weightings) {
            if *sum < Self::SILENCE {
                weighting.reset();
            }
            *sum = 0.0;
        }
        self.heard = 0;
        self.hops += 1;
        if self.hops >= 4 {
            self.gate.add(self.recent.iter().sum::<f64>() / (4 * self.hop) as f64);
            self.integrated = self.gate.integrated();
        }
    }
}
