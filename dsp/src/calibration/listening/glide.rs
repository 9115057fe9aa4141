//! A note without its glide.

use realfft::RealFftPlanner;

use super::series::Series;
use super::spectrum::Spectrum;

/// The samples of a note as if it kept its pitch.
///
/// A note glides down to its pitch, and its high partials die first, so that they would be heard sharper than the low ones and the string too
/// stiff: by 5 % on the highest, whose B is small. The glide is taken as even, from the pitch of the first half and of the second, and the
/// samples are read as much slower as it was sharp (a cubic through four of them).
pub(super) fn taken_out(samples: &[f32], series: &Series, rate: f64, planner: &mut RealFftPlanner<f64>) -> Vec<f32> {
    let (first, second) = samples.split_at(samples.len() / 2);
    let mut pitch = |half: &[f32]| Some(series.retuned(&Spectrum::of(half, rate, planner))?.fundamental);
    let (Some(before), Some(after)) = (pitch(first), pitch(second)) else { return samples.to_vec() };
    // Of the pitch, per sample.
    let slope = (after / before).ln() / first.len() as f64;
    let middle = first.len() as f64;
    let read = |at: usize| {
        let from_middle = at as f64 - middle;
        cubic(samples, at as f64 - 0.5 * slope * from_middle * from_middle)
    };
    (0..samples.len()).map(read).collect()
}

/// Lagrange's cubic through the four samples around a place; 0 where there are none.
fn cubic(samples: &[f32], place: f64) -> f32 {
    let below = place.floor();
    let t = place - below;
    let Some(near) = (below as usize).checked_sub(1).and_then(|first| samples.get(first..first + 4)) else {
        return 0.0;
    };
    let [a, b, c, d] = [near[0], near[1], near[2], near[3]].map(f64::from);
    let value = -a * t * (t - 1.0) * (t - 2.0) / 6.0 + b * (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0
        - c * (t + 1.0) * t * (t - 2.0) / 2.0
        + d * (t + 1.0) * t * (t - 1.0) / 6.0;
    value as f32
}
