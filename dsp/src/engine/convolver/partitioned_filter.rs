//! A filter made ready for a convolver.

use super::head::convolve;
use super::history::History;
use super::transform::{Spectrum, Transform};
use crate::filter::{Filter, Tail};
use crate::lanes::vectorised;

/// One filter: its head as taps, the rest as spectra of partitions, and its slow tails. Allocates nothing after
/// [`PartitionedFilter::new`].
pub struct PartitionedFilter {
    /// First partition, last tap first.
    head: Vec<f32>,
    spectra_re: Vec<f32>,
    spectra_im: Vec<f32>,
    bins: usize,
    tail: [f32; Tail::POLES],
}

impl PartitionedFilter {
    /// A silent filter of `taps` taps, rounded up to whole partitions of the transform's step.
    pub fn new(transform: &Transform, taps: usize) -> Self {
        let (step, bins) = (transform.step(), transform.bins());
        let partitions = taps.div_ceil(step).max(2) - 1;
        let spectra = vec![0.0; partitions * bins];
        Self { head: vec![0.0; step], spectra_re: spectra.clone(), spectra_im: spectra, bins, tail: [0.0; Tail::POLES] }
    }

    /// Takes a new filter.
    ///
    /// # Panics
    /// When its taps do not fill the partitions exactly.
    pub fn set(&mut self, filter: &Filter, transform: &mut Transform) {
        let step = transform.step();
        let partitions = self.spectra_re.len() / self.bins;
        assert_eq!(filter.taps.len(), (partitions + 1) * step, "a filter of another length");
        self.tail = filter.tail;
        let (head, rest) = filter.taps.split_at(step);
        self.head.iter_mut().rev().zip(head).for_each(|(slot, &tap)| *slot = tap);
        // Divided here by the length of the transform, which the inverse leaves in.
        let scale = 0.5 / step as f32;
        let spectra = self.spectra_re.chunks_exact_mut(self.bins).zip(self.spectra_im.chunks_exact_mut(self.bins));
        for (part, (re, im)) in rest.chunks_exact(step).zip(spectra) {
            transform.time[step..].fill(0.0);
            transform.time.iter_mut().zip(part).for_each(|(slot, &tap)| *slot = tap * scale);
            transform.forward(re, im);
        }
    }

    /// Becomes the mixture of itself and another filter of the same length: this share of the other one.
    ///
    /// # Panics
    /// When the lengths differ.
    pub fn mix(&mut self, other: &Self, share: f32) {
        let pairs = [
            (&mut self.head, &other.head),
            (&mut self.spectra_re, &other.spectra_re),
            (&mut self.spectra_im, &other.spectra_im),
        ];
        for (own, other) in pairs {
            assert_eq!(own.len(), other.len(), "filters of one length");
            own.iter_mut().zip(other).for_each(|(own, other)| *own += share * (other - *own));
        }
        self.tail.iter_mut().zip(&other.tail).for_each(|(own, other)| *own += share * (other - *own));
    }

    /// What all but the first partition contribute to the whole step that begins now, into `out` (one step).
    ///
    /// Call it when [`History::position`] is 0.
    pub fn tail(&self, history: &History, transform: &mut Transform, out: &mut [f32]) {
        transform.clear();
        let own = self.spectra_re.chunks_exact(self.bins).zip(self.spectra_im.chunks_exact(self.bins));
        vectorised(
            #[inline(always)]
            || {
                for (input, (re, im)) in history.spectra().zip(own) {
                    transform.multiply_add(input, Spectrum { re, im });
                }
            },
        );
        transform.inverse();
        out.copy_from_slice(&transform.time[transform.step()..]);
        history.add_slow_tails(&self.tail, out);
    }

    /// The samples of the current step from `start` to as far as the history has come, into `out`: the head's part,
    /// plus `tail` as [`PartitionedFilter::tail`] gave it for this step.
    pub fn output(&self, history: &History, tail: &[f32], start: usize, out: &mut [f32]) {
        vectorised(
            #[inline(always)]
            || convolve(&self.head, history.window_for(start, self.head.len()), out),
        );
        out.iter_mut().zip(&tail[start..]).for_each(|(out, tail)| *out += tail);
    }
}
