//! Frames that are cut off where a note began.

use std::sync::Arc;

use crate::following::frame::{FrameSize, Spectrum};
use crate::following::ring::Ring;
use crate::following::source::Source;
use crate::following::templates::Templates;
use crate::following::window::Window;

/// Looks at the end of a frame alone for a while after a note began: what sounded before would be taken for a part of it. Allocates
/// nothing after [`Cuts::new`].
#[derive(Debug, Clone)]
pub(super) struct Cuts {
    spectrum: Spectrum,
    /// From the shortest on.
    cuts: Arc<[Cut]>,
    now: Option<usize>,
}

/// A frame of which only the end counts.
#[derive(Debug)]
struct Cut {
    /// Samples after the beginning of a note up to which a frame is cut off so.
    until: usize,
    templates: Templates,
    /// What a magnitude is worth in a whole frame.
    gain: f32,
}

impl Cuts {
    /// Shares of a frame: after the beginning of a note up to so much of it, only so much of its end counts.
    const CUTS: [(f64, f64); 2] = [(0.25, 0.5), (0.875, 0.75)];
    /// Share of a frame in which its end falls: the newest samples count sooner than in a whole frame.
    const FALL: f64 = 1.0 / 16.0;

    pub(super) fn new(source: &Source, size: &FrameSize, whole: &Window) -> Self {
        let of_frame = |share: f64| (share * size.frame as f64) as usize;
        let cut = |(until, kept): (f64, f64)| {
            let window = Arc::new(Window::cut_off(size.frame, of_frame(kept), of_frame(Self::FALL)));
            let gain = whole.gain() / window.gain();
            Cut { until: of_frame(until), templates: Templates::new(source, &size.lattice(), &window), gain }
        };
        Self { spectrum: Spectrum::new(size.frame), cuts: Self::CUTS.map(cut).into(), now: None }
    }

    /// The next frame is whole, or it is cut off when the newest note began so many samples before its end.
    pub(super) fn choose(&mut self, since: Option<usize>) {
        self.now = since.and_then(|since| self.cuts.iter().position(|cut| since < cut.until));
    }

    /// The templates of what counts in a frame; `whole` are those of a whole one.
    pub(super) fn templates<'a>(&'a self, whole: &'a Templates) -> &'a Templates {
        self.now.map_or(whole, |now| &self.cuts[now].templates)
    }

    /// Where the frame is cut off, writes its weighted spectrum, of sum 1; what that would be in a whole frame.
    pub(super) fn weigh(&mut self, ring: &Ring, weighted: &mut [f32]) -> Option<f32> {
        let Cut { templates, gain, .. } = &self.cuts[self.now?];
        self.spectrum.magnitudes(ring.last(templates.window.samples.len()), &templates.window, weighted);
        Some(templates.weigh(weighted) * gain)
    }
}
