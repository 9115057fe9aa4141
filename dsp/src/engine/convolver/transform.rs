//! Transforms of two steps, and spectra as separate real and imaginary parts.

use std::sync::Arc;

use num_complex::Complex;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

/// The transform that all parts of a convolver share, with its work space.
pub struct Transform {
    forward: Arc<dyn RealToComplex<f32>>,
    inverse: Arc<dyn ComplexToReal<f32>>,
    pub(super) time: Vec<f32>,
    bins: Vec<Complex<f32>>,
    scratch: Vec<Complex<f32>>,
    sum_re: Vec<f32>,
    sum_im: Vec<f32>,
}

impl Transform {
    /// For partitions of `step` samples: transforms of 2 `step` points.
    pub fn new(step: usize) -> Self {
        let mut planner = RealFftPlanner::new();
        let (forward, inverse) = (planner.plan_fft_forward(2 * step), planner.plan_fft_inverse(2 * step));
        let scratch = vec![Complex::default(); forward.get_scratch_len().max(inverse.get_scratch_len())];
        let (time, bins) = (forward.make_input_vec(), forward.make_output_vec());
        let (sum_re, sum_im) = (vec![0.0; bins.len()], vec![0.0; bins.len()]);
        Self { forward, inverse, time, bins, scratch, sum_re, sum_im }
    }

    /// Bins of a spectrum.
    pub(super) fn bins(&self) -> usize {
        self.bins.len()
    }

    /// Samples of a partition.
    pub(super) fn step(&self) -> usize {
        self.time.len() / 2
    }

    /// Transforms `self.time`, which is spent, into `re` and `im`.
    pub(super) fn forward(&mut self, re: &mut [f32], im: &mut [f32]) {
        self.forward
            .process_with_scratch(&mut self.time, &mut self.bins, &mut self.scratch)
            .expect("buffers were made by this transform");
        for ((bin, re), im) in self.bins.iter().zip(re).zip(im) {
            (*re, *im) = (bin.re, bin.im);
        }
    }

    /// Empties the sum of products.
    pub(super) fn clear(&mut self) {
        self.sum_re.fill(0.0);
        self.sum_im.fill(0.0);
    }

    /// Adds the product of two spectra to the sum.
    #[inline(always)]
    pub(super) fn multiply_add(&mut self, a: Spectrum, b: Spectrum) {
        let bins = self.sum_re.len();
        let (a_re, a_im, b_re, b_im) = (&a.re[..bins], &a.im[..bins], &b.re[..bins], &b.im[..bins]);
        let (sum_re, sum_im) = (&mut self.sum_re[..bins], &mut self.sum_im[..bins]);
        for k in 0..bins {
            sum_re[k] += a_re[k] * b_re[k] - a_im[k] * b_im[k];
            sum_im[k] += a_re[k] * b_im[k] + a_im[k] * b_re[k];
        }
    }

    /// Transforms the sum back into `self.time` (not divided by its length).
    pub(super) fn inverse(&mut self) {
        for ((bin, &re), &im) in self.bins.iter_mut().zip(&self.sum_re).zip(&self.sum_im) {
            *bin = Complex::new(re, im);
        }
        // The first and last bin of a real signal are real; the transform refuses anything else.
        self.bins[0].im = 0.0;
        self.bins.last_mut().expect("a transform has bins").im = 0.0;
        self.inverse
            .process_with_scratch(&mut self.bins, &mut self.time, &mut self.scratch)
            .expect("buffers were made by this transform");
    }
}

/// One spectrum, real and imaginary parts apart so that the processor can take several bins at once.
#[derive(Clone, Copy)]
pub(super) struct Spectrum<'a> {
    pub(super) re: &'a [f32],
    pub(super) im: &'a [f32],
}
