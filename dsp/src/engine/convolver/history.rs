//! What one channel played: the last two steps as samples, older ones as spectra.

use super::head::TILE;
use super::slow_tails::SlowTails;
use super::transform::{Spectrum, Transform};
use crate::filter::Tail;

/// The input side of a convolver, shared by all filters that listen to it. Allocates nothing after [`History::new`].
pub struct History {
    step: usize,
    /// The step before, the current step as far as it has come, and room for the head's last tile.
    window: Vec<f32>,
    position: usize,
    spectra_re: Vec<f32>,
    spectra_im: Vec<f32>,
    bins: usize,
    /// Which spectrum is the newest; older ones follow it, around the end.
    newest: usize,
    slow_tails: SlowTails,
}

impl History {
    /// For filters of `taps` taps, rounded up to whole partitions of the transform's step, at a sample rate, in hertz.
    pub fn new(transform: &Transform, taps: usize, sample_rate: f64) -> Self {
        let (step, bins) = (transform.step(), transform.bins());
        let partitions = taps.div_ceil(step).max(2) - 1;
        Self {
            step,
            window: vec![0.0; 2 * step + TILE],
            position: 0,
            spectra_re: vec![0.0; partitions * bins],
            spectra_im: vec![0.0; partitions * bins],
            bins,
            newest: 0,
            slow_tails: SlowTails::new(sample_rate, taps, step),
        }
    }

    /// Samples of the current step that have come: 0 to one less than a step.
    pub fn position(&self) -> usize {
        self.position
    }

    /// The samples of the current step that have come.
    pub fn current(&self) -> &[f32] {
        &self.window[self.step..self.step + self.position]
    }

    /// Takes samples. When they complete the step, call [`History::complete`] before the next ones.
    ///
    /// # Panics
    /// When they reach beyond the end of the step.
    pub fn push(&mut self, samples: &[f32]) {
        let start = self.step + self.position;
        assert!(self.position + samples.len() <= self.step, "samples reach beyond the step");
        self.window[start..start + samples.len()].copy_from_slice(samples);
        self.position += samples.len();
    }

    /// Ends the step: its spectrum joins the older ones, and the slow tails move on.
    ///
    /// # Panics
    /// When the step is not complete.
    pub fn complete(&mut self, transform: &mut Transform) {
        assert_eq!(self.position, self.step, "the step is not complete");
        let partitions = self.spectra_re.len() / self.bins;
        self.newest = (self.newest + partitions - 1) % partitions;
        let at = self.newest * self.bins..(self.newest + 1) * self.bins;
        transform.time.copy_from_slice(&self.window[..2 * self.step]);
        transform.forward(&mut self.spectra_re[at.clone()], &mut self.spectra_im[at]);
        self.slow_tails.advance(&self.window[self.step..2 * self.step]);
        self.window.copy_within(self.step..2 * self.step, 0);
        self.position = 0;
    }

    /// Forgets everything.
    pub fn reset(&mut self) {
        self.window.fill(0.0);
        self.spectra_re.fill(0.0);
        self.spectra_im.fill(0.0);
        self.slow_tails.reset();
        (self.position, self.newest) = (0, 0);
    }

    /// The window from the oldest sample that `taps` taps need for the sample at `position` of the current step.
    pub(super) fn window_for(&self, position: usize, taps: usize) -> &[f32] {
        &self.window[self.step + position + 1 - taps..]
    }

    /// Adds the part of a filter's output over the current step that comes from beyond its taps.
    pub(super) fn add_slow_tails(&self, tail: &[f32; Tail::POLES], out: &mut [f32]) {
        self.slow_tails.add(tail, out);
    }

    /// Spectra of the last complete steps, newest first.
    pub(super) fn spectra(&self) -> impl Iterator<Item = Spectrum<'_>> {
        let both = self.spectra_re.chunks_exact(self.bins).zip(self.spectra_im.chunks_exact(self.bins));
        let count = self.spectra_re.len() / self.bins;
        both.clone().skip(self.newest).chain(both).take(count).map(|(re, im)| Spectrum { re, im })
    }
}
