//! Windows of the analysis, and what they make of a partial.

use std::f64::consts::PI;

use realfft::RealFftPlanner;

/// A window over one frame.
#[derive(Debug, Clone)]
pub(super) struct Window {
    pub(super) samples: Vec<f32>,
    lobe: Vec<f32>,
}

impl Window {
    /// Points of the lobe per bin.
    const PER_BIN: usize = 64;
    /// The lobe is kept up to this many bins from its middle; what lies beyond is below -50 dB.
    pub(super) const BINS: usize = 6;

    /// Rises as half a Hann window over all but the last `fall` samples, and falls as the other half over those: what came
    /// last counts soon, at the price of a slightly wider lobe.
    pub(super) fn asymmetric(length: usize, fall: usize) -> Self {
        let rise = length - fall;
        let half = |n: usize, of: usize| 0.5 - 0.5 * (PI * n as f64 / of as f64).cos();
        let sample = |n: usize| if n < rise { half(n, rise) } else { half(length - n, fall) };
        Self::new((0..length).map(sample).collect())
    }

    /// A Hann window.
    pub(super) fn symmetric(length: usize) -> Self {
        Self::asymmetric(length, length / 2)
    }

    fn new(samples: Vec<f64>) -> Self {
        let length = samples.len() * Self::PER_BIN;
        let forward = RealFftPlanner::<f64>::new().plan_fft_forward(length);
        let mut padded = vec![0.0; length];
        padded[..samples.len()].copy_from_slice(&samples);
        let mut spectrum = forward.make_output_vec();
        forward.process(&mut padded, &mut spectrum).expect("buffers were made by this transform");
        let peak = spectrum[0].re;
        let lobe = spectrum[..=Self::BINS * Self::PER_BIN].iter().map(|bin| (bin.norm() / peak) as f32).collect();
        Self { samples: samples.iter().map(|&sample| sample as f32).collect(), lobe }
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
}
