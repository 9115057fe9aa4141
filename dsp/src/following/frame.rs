//! How long frames are at a sample rate, and the spectrum of one.

use std::ops::Range;
use std::sync::Arc;

use num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};

use super::lattice::Lattice;
use super::window::Window;

/// Lengths of the analysis, in samples of its own rate unless said otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrameSize {
    /// The host's rate is halved this often.
    pub halvings: u32,
    /// Samples per second of the analysis.
    pub rate: f64,
    /// One frame: a power of two.
    pub frame: usize,
    /// From one frame to the next.
    pub hop: usize,
}

impl FrameSize {
    const RATE: f64 = 48_000.0;
    const FRAME: f64 = 4096.0;

    /// At the host's rate, in hertz: the analysis runs between 34 and 68 kHz where the host's rate allows it, on frames of
    /// 4096 samples at 44.1 and 48 kHz.
    pub fn at(sample_rate: f64) -> Self {
        let halvings = (sample_rate / Self::RATE).log2().round().max(0.0) as u32;
        let rate = sample_rate / f64::from(1u32 << halvings);
        let frame = (Self::FRAME * (rate / Self::RATE).log2().round().exp2()) as usize;
        Self { halvings, rate, frame, hop: frame / 8 }
    }

    /// From one frame to the next, in samples of the host.
    pub fn host_hop(&self) -> usize {
        self.hop << self.halvings
    }

    /// The frequencies of its bins.
    pub fn lattice(&self) -> Lattice {
        Lattice::new(self.rate / self.frame as f64)
    }
}

/// A frame of a take, in the pieces it is kept in: what comes before and behind them is silence.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame<'a> {
    /// Samples of silence before the first piece.
    pub(super) before: usize,
    pub(super) pieces: [&'a [f32]; 2],
}

impl<'a> Frame<'a> {
    /// Where nothing is played.
    pub(super) const SILENCE: Self = Self { before: 0, pieces: [&[]; 2] };

    /// The frame of that length around a middle; silence where there are no samples.
    pub(super) fn around(samples: &'a [f32], middle: usize, length: usize) -> Self {
        let (before, there) = Self::ends(middle, length, 0..samples.len());
        Self { before, pieces: [&samples[there], &[]] }
    }

    /// How much silence comes first in a frame of that length around a middle, and the samples that come then, of those that
    /// there are.
    pub(super) fn ends(middle: usize, length: usize, there: Range<usize>) -> (usize, Range<usize>) {
        let half = length / 2;
        let from = middle.saturating_sub(half).max(there.start);
        let before = (from + half - middle).min(length);
        let from = from.min(there.end);
        (before, from..(middle + length - half).min(there.end).clamp(from, from + length - before))
    }

    /// Writes as much of it as there is room for, and silence behind it.
    fn write(self, to: &mut [f32]) {
        let mut rest = to;
        rest.split_off_mut(..self.before.min(rest.len())).expect("so many are there").fill(0.0);
        for piece in self.pieces {
            let length = piece.len().min(rest.len());
            rest.split_off_mut(..length).expect("so many are there").copy_from_slice(&piece[..length]);
        }
        rest.fill(0.0);
    }
}

/// Magnitudes of windowed frames.
#[derive(Clone)]
pub(super) struct Spectrum {
    forward: Arc<dyn RealToComplex<f32>>,
    time: Vec<f32>,
    bins: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
}

impl std::fmt::Debug for Spectrum {
    /// The transform is of no interest.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Spectrum").field("length", &self.time.len()).finish_non_exhaustive()
    }
}

impl Spectrum {
    pub(super) fn new(length: usize) -> Self {
        let forward = RealFftPlanner::new().plan_fft_forward(length);
        let (time, bins) = (forward.make_input_vec(), forward.make_output_vec());
        let scratch = vec![Complex::default(); forward.get_scratch_len()];
        Self { forward, time, bins, scratch }
    }

    /// Writes magnitudes of the frame, bin after bin from 0 Hz, as many as there is room for. A frame shorter than the
    /// transform is continued with zeros.
    pub(super) fn magnitudes(&mut self, frame: Frame<'_>, window: &Window, magnitudes: &mut [f32]) {
        let (windowed, padding) = self.time.split_at_mut(window.samples.len());
        frame.write(windowed);
        windowed.iter_mut().zip(&window.samples).for_each(|(sample, window)| *sample *= window);
        padding.fill(0.0);
        self.forward
            .process_with_scratch(&mut self.time, &mut self.bins, &mut self.scratch)
            .expect("buffers were made by this transform");
        magnitudes.fill(0.0);
        magnitudes.iter_mut().zip(&self.bins).for_each(|(slot, bin)| *slot = bin.norm_sqr().sqrt());
    }
}
