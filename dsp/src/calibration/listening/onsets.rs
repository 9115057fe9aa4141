//! Where notes begin.

use std::ops::Range;

use realfft::RealFftPlanner;

use super::spectrum::{Spectrum, window_samples};
use crate::following::beginnings;

/// Window of the search, in seconds.
const WINDOW: f64 = 0.043;
/// Frames per window.
const OVERLAP: usize = 8;
/// How much louder a recording must be behind an onset than before it, in dB.
const LEAST_RISE_DB: f64 = 3.0;
/// How far above the quietest places, and how far below the loudest, a note has to begin, in dB.
const ABOVE_NOISE_DB: f64 = 10.0;
const BELOW_LOUDEST_DB: f64 = 40.0;
/// Notes follow each other no faster, in seconds.
const LEAST_GAP: f64 = 0.1;

/// Stretches of a recording, one per note, as samples from its onset to the next one's (or the end).
///
/// Spectral flux (Bello et al. 2005, A tutorial on onset detection in music signals): the sum over frequency of what rises from frame to
/// frame, here in compressed amplitudes; of its maxima those count where the whole gets louder, too.
pub(super) fn notes(samples: &[f32], rate: f64, planner: &mut RealFftPlanner<f64>) -> Vec<Range<usize>> {
    let window = window_samples(WINDOW, rate);
    let hop = window / OVERLAP;
    let frames: Vec<Frame> =
        samples.windows(window).step_by(hop).map(|samples| Frame::new(&Spectrum::of(samples, rate, planner))).collect();
    let Some(loudest) = frames.iter().map(|frame| frame.level_db).max_by(f64::total_cmp) else { return Vec::new() };
    let mut levels: Vec<f64> = frames.iter().map(|frame| frame.level_db).collect();
    levels.sort_by(f64::total_cmp);
    let quiet = levels[levels.len() / 20];
    let least_db = (quiet + ABOVE_NOISE_DB).max(loudest - BELOW_LOUDEST_DB).min(loudest - 6.0);
    let reference = loudest_amplitude(&frames);
    let flux: Vec<f64> = (0..frames.len()).map(|at| rise(&frames, at, reference)).collect();
    let mut onsets: Vec<usize> = Vec::new();
    let gap = (LEAST_GAP * rate / hop as f64) as usize;
    for at in 0..frames.len() {
        let around = at.saturating_sub(gap / 2)..(at + gap / 2 + 1).min(frames.len());
        let is_highest = flux[around].iter().all(|&other| other <= flux[at]);
        let before = frames[at.saturating_sub(OVERLAP)].level_db;
        let before = if at < OVERLAP { before.min(quiet) } else { before };
        let after = (at..(at + OVERLAP).min(frames.len())).map(|at| frames[at].level_db).fold(f64::MIN, f64::max);
        let louder = after - before >= LEAST_RISE_DB && after >= least_db;
        let apart = onsets.last().is_none_or(|&last| at - last >= gap);
        if flux[at] > 0.0 && is_highest && louder && apart {
            onsets.push(at);
        }
    }
    // A frame's flux is highest when the attack passes its middle.
    let starts: Vec<usize> = onsets.iter().map(|at| at * hop + window / 2).collect();
    let ends = starts.iter().skip(1).copied().chain([samples.len()]);
    starts.iter().zip(ends).map(|(&start, end)| start..end).collect()
}

/// The same where music was played: notes need not make the whole louder, as in a line whose notes follow each other.
pub(super) fn freely(samples: &[f32], rate: f64) -> Vec<Range<usize>> {
    /// Frames of the search, in seconds.
    const FRAME: f64 = 0.0213;
    let starts = beginnings(samples, window_samples(FRAME, rate));
    let ends = starts.iter().skip(1).copied().chain([samples.len()]);
    starts.iter().zip(ends).map(|(&start, end)| start..end).collect()
}

/// What is looked at of a frame.
struct Frame {
    level_db: f64,
    amplitudes: Vec<f64>,
}

impl Frame {
    /// Frequencies that are looked at, in hertz.
    const BAND: (f64, f64) = (70.0, 5000.0);

    fn new(spectrum: &Spectrum) -> Self {
        let bin = |hertz: f64| (hertz / spectrum.spacing()) as usize;
        let end = bin(Self::BAND.1).min(spectrum.amplitudes().len());
        let amplitudes = spectrum.amplitudes()[bin(Self::BAND.0).min(end)..end].to_vec();
        let power: f64 = amplitudes.iter().map(|amplitude| amplitude * amplitude).sum();
        Self { level_db: 10.0 * power.max(1e-30).log10(), amplitudes }
    }
}

fn loudest_amplitude(frames: &[Frame]) -> f64 {
    frames.iter().flat_map(|frame| &frame.amplitudes).fold(1e-12, |max, &value| max.max(value))
}

/// What rises within two frames.
fn rise(frames: &[Frame], at: usize, reference: f64) -> f64 {
    let compressed = |amplitude: f64| (1.0 + 1000.0 * amplitude / reference).ln();
    let Some(before) = at.checked_sub(2) else { return frames[at].amplitudes.iter().map(|a| compressed(*a)).sum() };
    let pairs = frames[at].amplitudes.iter().zip(&frames[before].amplitudes);
    pairs.map(|(now, before)| (compressed(*now) - compressed(*before)).max(0.0)).sum()
}
