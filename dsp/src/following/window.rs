//! Windows of the analysis, and what they make of a partial.

use std::f64::consts::PI;

use realfft::RealFftPlanner;
use wide::f32x8;

/// A window over one frame.
#[derive(Debug, Clone)]
pub(super) struct Window {
    pub(super) samples: Vec<f32>,
    lobe: Vec<f32>,
    /// For every phase, what falls into the bins around a partial.
    teeth: Vec<f32x8>,
}

impl Window {
    /// Points of the lobe per bin.
    const PER_BIN: usize = 64;
    /// The lobe is kept up to this many bins of as long a frame as the window keeps; what lies beyond is below -50 dB.
    const BINS: usize = 6;
    /// Bins of a tooth.
    pub(super) const TOOTH: usize = 8;
    /// Places between two bins at which the middle of a tooth may lie.
    const PHASES: f32 = 32.0;

    /// Rises as half a Hann window over all but the last `fall` samples, and falls as the other half over those: what came
    /// last counts soon, at the price of a slightly wider lobe.
    pub(super) fn asymmetric(length: usize, fall: usize) -> Self {
        Self::cut_off(length, length, fall)
    }

    /// The same over the last `kept` of its samples: what came before does not count.
    pub(super) fn cut_off(length: usize, kept: usize, fall: usize) -> Self {
        let rise = kept - fall;
        let half = |n: usize, of: usize| 0.5 - 0.5 * (PI * n as f64 / of as f64).cos();
        let sample = |n: usize| if n < rise { half(n, rise) } else { half(kept - n, fall) };
        let before = std::iter::repeat_n(0.0, length - kept);
        Self::new(before.chain((0..kept).map(sample)).collect(), Self::BINS * length / kept)
    }

    /// A Hann window.
    pub(super) fn symmetric(length: usize) -> Self {
        Self::asymmetric(length, length / 2)
    }

    fn new(samples: Vec<f64>, reach: usize) -> Self {
        let length = samples.len() * Self::PER_BIN;
        let forward = RealFftPlanner::<f64>::new().plan_fft_forward(length);
        let mut padded = vec![0.0; length];
        padded[..samples.len()].copy_from_slice(&samples);
        let mut spectrum = forward.make_output_vec();
        forward.process(&mut padded, &mut spectrum).expect("buffers were made by this transform");
        let peak = spectrum[0].re;
        let lobe = spectrum[..=reach * Self::PER_BIN].iter().map(|bin| (bin.norm() / peak) as f32).collect();
        let samples = samples.iter().map(|&sample| sample as f32).collect();
        let mut new = Self { samples, lobe, teeth: Vec::new() };
        let tooth = |phase: usize| {
            let first = phase as f64 / f64::from(Self::PHASES) - (Self::TOOTH / 2) as f64;
            f32x8::new(std::array::from_fn(|bin| new.lobe(first + bin as f64)))
        };
        new.teeth = (0..=Self::PHASES as usize).map(tooth).collect();
        new
    }

    /// Magnitude of a partial of amplitude 1 in its middle, but for what all windows have in common.
    pub(super) fn gain(&self) -> f32 {
        self.samples.iter().sum()
    }

    /// Bins from the middle of a partial up to which its lobe is kept.
    pub(super) fn reach(&self) -> usize {
        self.lobe.len() / Self::PER_BIN
    }

    /// Magnitude of a partial `bins` from its middle, relative to its middle.
    pub(super) fn lobe(&self, bins: f64) -> f32 {
        let place = bins.abs() * Self::PER_BIN as f64;
        let at = place as usize;
        match self.lobe.get(at..at + 2) {
            Some(pair) => pair[0] + (place - at as f64) as f32 * (pair[1] - pair[0]),
            None => 0.0,
        }
    }

    /// Magnitudes of a partial in the bins around it, relative to its middle, which lies before the fifth of them by less than a
    /// bin. What lies beyond is below -48 dB where nothing is cut off.
    pub(super) fn tooth(&self, before: f32) -> f32x8 {
        self.teeth[(before * Self::PHASES + 0.5) as usize]
    }
}
