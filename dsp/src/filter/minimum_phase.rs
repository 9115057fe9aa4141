//! The minimum-phase impulse response that has a given magnitude, by its cepstrum.
//!
//! ln|H| is the transform of the even part of the complex cepstrum; a minimum-phase response has a causal cepstrum, so
//! folding the even part to positive times gives it, and the imaginary part of the folded cepstrum's transform is the
//! phase: Oppenheim and Schafer, Discrete-Time Signal Processing, chapter on cepstrum analysis.

use std::sync::Arc;

use num_complex::Complex;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};
use wide::f32x8;

use super::zero_at_dc::ZeroAtDc;

/// A fixed-size designer of minimum-phase responses. Single precision: `tests/filter.rs` measures what it costs.
pub(super) struct MinimumPhase {
    forward: Arc<dyn RealToComplex<f32>>,
    inverse: Arc<dyn ComplexToReal<f32>>,
    spectrum: Vec<Complex<f32>>,
    time: Vec<f32>,
    scratch: Vec<Complex<f32>>,
}

impl MinimumPhase {
    /// For transforms of `fft` points (even).
    pub(super) fn new(fft: usize) -> Self {
        let mut planner = RealFftPlanner::new();
        let (forward, inverse) = (planner.plan_fft_forward(fft), planner.plan_fft_inverse(fft));
        let scratch = vec![Complex::default(); forward.get_scratch_len().max(inverse.get_scratch_len())];
        Self { spectrum: forward.make_output_vec(), time: forward.make_input_vec(), forward, inverse, scratch }
    }

    /// The response whose ln|H| at the bins 0 ..= fft / 2 is `log_gain` plus `zeros` factors of `zero`; one value per
    /// sample, fft of them. `log_gain` is left with the factors added.
    pub(super) fn impulse_response(&mut self, log_gain: &mut [f32], zeros: f32, zero: &ZeroAtDc) -> &[f32] {
        for (bin, &mut value) in self.spectrum.iter_mut().zip(&mut *log_gain) {
            *bin = Complex::new(value, 0.0);
        }
        self.transform_back();
        self.fold();
        self.forward
            .process_with_scratch(&mut self.time, &mut self.spectrum, &mut self.scratch)
            .expect("buffers were made by this transform");
        if zeros > 0.0 {
            zero.restore(zeros, log_gain, &mut self.spectrum);
        }
        exponentiate(log_gain, &mut self.spectrum, 1.0 / self.time.len() as f32);
        self.transform_back();
        &self.time
    }

    fn transform_back(&mut self) {
        // The first and last bin of a real signal are real; the transform refuses anything else.
        self.spectrum[0].im = 0.0;
        self.spectrum.last_mut().expect("a transform has bins").im = 0.0;
        self.inverse
            .process_with_scratch(&mut self.spectrum, &mut self.time, &mut self.scratch)
            .expect("buffers were made by this transform");
    }

    /// Folds the even cepstrum (not yet divided by the length) to positive times.
    fn fold(&mut self) {
        let half = self.time.len() / 2;
        let scale = 1.0 / self.time.len() as f32;
        self.time[0] *= scale;
        self.time[1..half].iter_mut().for_each(|value| *value *= 2.0 * scale);
        self.time[half] *= scale;
        self.time[half + 1..].fill(0.0);
    }
}

/// Replaces each bin, whose imaginary part is the phase, by `scale` exp(ln|H| + i phase). The magnitude comes from
/// `log_gain` itself: the real part that went through two transforms carries their rounding.
fn exponentiate(log_gain: &[f32], spectrum: &mut [Complex<f32>], scale: f32) {
    const LANES: usize = 8;
    for (log_gain, bins) in log_gain.chunks(LANES).zip(spectrum.chunks_mut(LANES)) {
        let (mut logs, mut phases) = ([0.0; LANES], [0.0; LANES]);
        logs[..log_gain.len()].copy_from_slice(log_gain);
        phases.iter_mut().zip(&*bins).for_each(|(phase, bin)| *phase = bin.im);
        let gain = f32x8::new(logs).exp() * f32x8::splat(scale);
        let (sin, cos) = f32x8::new(phases).sin_cos();
        let (re, im) = ((gain * cos).to_array(), (gain * sin).to_array());
        for (bin, (re, im)) in bins.iter_mut().zip(re.into_iter().zip(im)) {
            *bin = Complex::new(re, im);
        }
    }
}
