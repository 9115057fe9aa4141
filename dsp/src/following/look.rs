//! One look at a take: the magnitudes of a frame, and their peaks.

use std::sync::Arc;

use super::frame::{Frame, Spectrum};
use super::naming::Peaks;
use super::templates::Templates;
use super::window::Window;

/// A frame's magnitudes, between its bins too, and their peaks. Allocates nothing after [`Look::new`].
#[derive(Debug, Clone)]
pub(super) struct Look {
    window: Arc<Window>,
    spectrum: Spectrum,
    magnitudes: Vec<f32>,
    pub(super) peaks: Peaks,
}

impl Look {
    /// Frames under a window at that rate, in hertz; at least so many of their bins are looked at.
    pub(super) fn new(window: Arc<Window>, rate: f64, bins: usize) -> Self {
        let padded = Peaks::PADDING * window.samples.len();
        let peaks = Peaks::new(rate / padded as f64);
        let magnitudes = vec![0.0; peaks.bins().max(Peaks::PADDING * bins)];
        Self { spectrum: Spectrum::new(padded), window, magnitudes, peaks }
    }

    /// How many samples a frame has.
    pub(super) fn length(&self) -> usize {
        self.window.samples.len()
    }

    /// Looks at a frame.
    pub(super) fn at(&mut self, frame: Frame<'_>) {
        self.spectrum.magnitudes(frame, &self.window, &mut self.magnitudes);
    }

    /// Finds the peaks of the frame that was looked at.
    pub(super) fn find_peaks(&mut self) {
        self.peaks.find(&self.magnitudes);
    }

    /// Writes the weighted spectrum of the frame that was looked at, of sum 1, and gives what its sum was.
    pub(super) fn weigh(&self, templates: &Templates, weighted: &mut [f32]) -> f32 {
        let own_bins = self.magnitudes.iter().step_by(Peaks::PADDING);
        weighted.iter_mut().zip(own_bins).for_each(|(value, magnitude)| *value = *magnitude);
        templates.weigh(weighted)
    }
}
