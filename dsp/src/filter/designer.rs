//! ln|G| on the grid -> filter.

use super::detail_places::DetailPlaces;
use super::interpolation::Interpolation;
use super::minimum_phase::MinimumPhase;
use super::tail_fit::TailFit;
use super::zero_at_dc::ZeroAtDc;
use super::{Filter, Size};
use crate::conversion::Grid;

/// Designs filters of one length at one sample rate. Everything is prepared in [`Designer::new`]; a design allocates,
/// locks and waits for nothing, so it may run on the audio thread.
pub struct Designer {
    size: Size,
    interpolation: Interpolation,
    minimum_phase: MinimumPhase,
    zero: ZeroAtDc,
    tail_fit: TailFit,
    curve: [f32; Grid::POINTS],
    bins: Vec<f32>,
    detail: DetailPlaces,
}

impl Designer {
    /// Smaller taps are 0: a denormal tap costs a hundred times the time of another, and nobody hears -400 dB.
    const SMALLEST_TAP: f32 = 1e-20;

    /// For curves on `grid` and this sample rate, in hertz. Sizes are those of [`Size::at`].
    ///
    /// # Panics
    /// When the grid ends below half the sample rate, or [`Size::at`] refuses the rate.
    pub fn new(grid: &Grid, sample_rate: f64) -> Self {
        let size = Size::at(sample_rate);
        let nyquist = sample_rate / 2.0;
        assert!(grid.top() >= nyquist, "a grid up to {} Hz is too short for {sample_rate} Hz", grid.top());
        let bins = size.fft / 2 + 1;
        Self {
            size,
            interpolation: Interpolation::new(grid, bins, sample_rate / size.fft as f64),
            minimum_phase: MinimumPhase::new(size.fft),
            zero: ZeroAtDc::new(grid, bins, sample_rate),
            tail_fit: TailFit::new(size.taps, size.fft, sample_rate),
            curve: [0.0; Grid::POINTS],
            bins: vec![0.0; bins],
            detail: DetailPlaces::none(),
        }
    }

    /// Prepares for details on `points` frequencies, evenly spaced from 0 Hz on, `spacing` apart (in hertz). Allocates.
    pub fn expect_detail(&mut self, spacing: f64, points: usize, sample_rate: f64) {
        self.detail = DetailPlaces::new(self.bins.len(), sample_rate / self.size.fft as f64 / spacing, points);
    }

    /// Taps of a filter.
    pub fn taps(&self) -> usize {
        self.size.taps
    }

    /// A filter of this length that lets nothing through, to design into.
    pub fn silent(&self) -> Filter {
        Filter::silent(self.size.taps)
    }

    /// Writes the minimum-phase filter for ln|G| (`log_gain`, one value per point of the grid) into `filter`.
    ///
    /// Values outside ln|G| = -40 .. 40 (347 dB) are taken as those bounds, and a NaN as 0 dB, so that no curve can
    /// make a filter that is not finite.
    ///
    /// # Panics
    /// When `log_gain` is not [`Grid::POINTS`] long or the filter has not [`Designer::taps`] taps.
    pub fn design(&mut self, log_gain: &[f64], filter: &mut Filter) {
        self.design_with_detail(log_gain, &[], filter);
    }

    /// The same, with a detail added to ln|G| as it lies between the points of the grid: nothing, or one value per frequency
    /// of [`Designer::expect_detail`].
    ///
    /// # Panics
    /// As [`Designer::design`] does, or when the detail is of another length.
    pub fn design_with_detail(&mut self, log_gain: &[f64], detail: &[f32], filter: &mut Filter) {
        assert_eq!(log_gain.len(), Grid::POINTS, "one value per point of the grid");
        assert_eq!(filter.taps.len(), self.size.taps, "a filter of another length");
        for (value, &log_gain) in self.curve.iter_mut().zip(log_gain) {
            *value = if log_gain.is_nan() { 0.0 } else { log_gain.clamp(-40.0, 40.0) as f32 };
        }
        let zeros = self.zero.count(&self.curve);
        if zeros > 0.0 {
            self.zero.remove(zeros, &mut self.curve);
        }
        self.interpolation.apply(&self.curve, &mut self.bins);
        if !detail.is_empty() {
            self.detail.add(detail, &mut self.bins);
        }
        let response = self.minimum_phase.impulse_response(&mut self.bins, zeros, &self.zero);
        filter.taps.copy_from_slice(&response[..self.size.taps]);
        filter.tail = self.tail_fit.fit(response, &mut filter.taps);
        for value in filter.taps.iter_mut().chain(&mut filter.tail) {
            if value.abs() < Self::SMALLEST_TAP {
                *value = 0.0;
            }
        }
    }
}
