//! Where notes begin.

use std::ops::Range;

use super::spectrum::window_samples;
use crate::following::beginnings;

/// Frames of the search, in seconds.
const FRAME: f64 = 0.0213;

/// Stretches of a recording, one per note, as samples from its onset to the next one's (or the end).
pub(super) fn notes(samples: &[f32], rate: f64) -> Vec<Range<usize>> {
    let starts = beginnings(samples, window_samples(FRAME, rate));
    let ends = starts.iter().skip(1).copied().chain([samples.len()]);
    starts.iter().zip(ends).map(|(&start, end)| start..end).collect()
}
