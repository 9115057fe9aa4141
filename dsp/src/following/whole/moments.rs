//! Where frames are looked at, so that none looks across the beginning of a note.

use crate::following::frame::Spectrum;
use crate::following::window::Window;

/// Where a hop is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Moment {
    /// The middle of its frame, in samples.
    pub(super) middle: usize,
    /// How many notes began before it.
    pub(super) segment: usize,
}

/// The moment that tells most about each hop: its own place, or one so far from it that the frame does not reach across the
/// beginning of a note. One per hop, ascending.
pub(super) fn moments(samples: &[f32], frame: usize, hop: usize) -> Vec<Moment> {
    let reach = (REACH * frame as f64) as usize;
    let mut ends = beginnings(samples, frame / 4);
    ends.insert(0, 0);
    ends.push(samples.len() + frame);
    let of_hop = |place: usize| {
        let after = ends.partition_point(|&end| end <= place).max(1);
        let (from, to) = (ends[after - 1], ends[after]);
        let (least, most) = (if after == 1 { 0 } else { from + reach }, to.saturating_sub(reach));
        let middle = if least <= most { place.clamp(least, most) } else { usize::midpoint(from, to) };
        Moment { middle, segment: after }
    };
    (0..samples.len() / hop + 2).map(|hops| of_hop(hops * hop)).collect()
}

/// A frame reaches so far to either side of its middle, as a share of its length: there a Hann window is down to a sixth.
const REACH: f64 = 0.36;

/// Where notes begin, in samples: where more of the spectrum rises than elsewhere near.
///
/// Spectral flux of logarithmic magnitudes against the largest neighbour before, so that a pitch that moves is no beginning
/// (Boeck and Widmer 2013, Maximum filter vibrato suppression for onset detection).
fn beginnings(samples: &[f32], frame: usize) -> Vec<usize> {
    let hop = frame / 4;
    let rises = rises(samples, frame, hop);
    let mut found: Vec<usize> = Vec::new();
    for (place, &rise) in rises.iter().enumerate() {
        let around = &rises[place.saturating_sub(NEAR)..(place + NEAR + 1).min(rises.len())];
        let before = &rises[place.saturating_sub(LONG)..(place + NEAR + 1).min(rises.len())];
        let usual = before.iter().sum::<f32>() / before.len() as f32;
        let highest = around.iter().all(|&other| other <= rise);
        if highest && rise > usual + LEAST_DB {
            // The frame that rises first has its middle where the note begins, near enough.
            let at = place * hop;
            if found.last().is_none_or(|&last| at > last + NEAR * hop) {
                found.push(at);
            }
        }
    }
    found
}

/// Hops within which one beginning is looked for, and before it what is usual.
const NEAR: usize = 6;
const LONG: usize = 20;
/// How much a bin rises on average at a beginning above what is usual, in dB.
const LEAST_DB: f32 = 1.0;
/// What lies further below the loudest is not looked at, in dB.
const RANGE_DB: f32 = 60.0;

/// Mean rise of a bin, in dB, per hop.
fn rises(samples: &[f32], frame: usize, hop: usize) -> Vec<f32> {
    let window = Window::symmetric(frame);
    let mut spectrum = Spectrum::new(frame);
    let silence = vec![0.0; frame];
    let bins = frame / 6;
    let mut levels: Vec<Vec<f32>> = Vec::new();
    for place in 0..samples.len() / hop + 1 {
        let mut magnitudes = vec![0.0; bins];
        let padded = silence[frame / 2..].iter().chain(samples).chain(&silence);
        spectrum.magnitudes(padded.skip(place * hop), &window, &mut magnitudes);
        magnitudes.iter_mut().for_each(|value| *value = 20.0 * value.max(f32::MIN_POSITIVE).log10());
        levels.push(magnitudes);
    }
    let loudest = levels.iter().flatten().fold(f32::MIN, |max, &value| max.max(value));
    levels.iter_mut().flatten().for_each(|value| *value = (*value - loudest + RANGE_DB).max(0.0));
    let rise = |place: usize| {
        let Some(before) = place.checked_sub(2) else { return 0.0 };
        let largest = |bin: usize| {
            levels[before][bin.saturating_sub(1)..(bin + 2).min(bins)].iter().fold(0.0f32, |max, &value| max.max(value))
        };
        (0..bins).map(|bin| (levels[place][bin] - largest(bin)).max(0.0)).sum::<f32>() / bins as f32
    };
    (0..levels.len()).map(rise).collect()
}
