//! The take's spectrum, for the picture behind the curves.

use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};

use crate::taps::Taps;

/// Spectrum of the newest samples of the take.
pub struct Spectrum {
    fft: Arc<dyn RealToComplex<f32>>,
    window: Vec<f32>,
    input: Vec<f32>,
    output: Vec<Complex<f32>>,
    points: Vec<[f64; 2]>,
    seen: u64,
}

impl Spectrum {
    /// Samples that are looked at: at 48 kHz a third of a second, 3 Hz apart.
    const SAMPLES: usize = 1 << 14;
    /// By how much a level falls from one picture to the next, in dB, so that the eye can follow.
    const FALL_DB: f64 = 1.5;
    /// Quieter is not drawn, in dB of full scale.
    const FLOOR_DB: f64 = -120.0;

    /// Nothing seen yet.
    pub fn new() -> Self {
        let fft = RealFftPlanner::new().plan_fft_forward(Self::SAMPLES);
        let hann = |i: usize| 0.5 - 0.5 * (std::f32::consts::TAU * i as f32 / Self::SAMPLES as f32).cos();
        Self {
            window: (0..Self::SAMPLES).map(hann).collect(),
            input: fft.make_input_vec(),
            output: fft.make_output_vec(),
            points: Vec::new(),
            fft,
            seen: 0,
        }
    }

    /// Samples after which silence leaves nothing of the picture: what is looked at, and the fall of 80 pictures.
    const FADED: u64 = 1 << 18;

    /// Whether more of the take was heard than is in the picture, or the picture has not faded since.
    pub fn is_behind(&self, taps: &Taps) -> bool {
        let written = taps.written();
        written != self.seen && written.saturating_sub(taps.sounded()) < Self::FADED
    }

    /// Frequency in hertz and level in dB of full scale, strongest partial in every twelfth of an octave from 20 Hz to
    /// 20 kHz; empty before anything was played.
    pub fn look(&mut self, taps: &Taps) -> &[[f64; 2]] {
        let rate = taps.sample_rate();
        let written = taps.newest(&mut self.input);
        if written == self.seen || rate <= 0.0 {
            return &self.points;
        }
        self.seen = written;
        self.input.iter_mut().zip(&self.window).for_each(|(sample, window)| *sample *= window);
        if self.fft.process(&mut self.input, &mut self.output).is_err() {
            return &self.points;
        }
        // A sine of full scale gives half the window's sum.
        let full = Self::SAMPLES as f32 / 4.0;
        let bin = |hertz: f64| ((hertz / rate * Self::SAMPLES as f64) as usize).min(self.output.len() - 1);
        let level = |hertz: f64| {
            let (low, high) = (bin(hertz * 0.9715), bin(hertz * 1.0293));
            let strongest = self.output[low..=high].iter().map(|value| value.norm()).fold(0.0, f32::max);
            (20.0 * f64::from(strongest / full).log10()).max(Self::FLOOR_DB)
        };
        let old = std::mem::take(&mut self.points);
        let point = |n: u32| {
            let hertz = 20.0 * 2f64.powf(f64::from(n) / 12.0);
            let before = old.get(n as usize).map_or(Self::FLOOR_DB, |point| point[1] - Self::FALL_DB);
            [hertz, level(hertz).max(before)]
        };
        self.points = (0..120).map(point).collect();
        &self.points
    }
}

impl Default for Spectrum {
    fn default() -> Self {
        Self::new()
    }
}
