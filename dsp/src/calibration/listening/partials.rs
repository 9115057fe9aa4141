//! How strong a note's partials are as it is plucked.

use realfft::RealFftPlanner;

use super::series::Series;
use super::spectrum::{Spectrum, window_samples};
use crate::calibration::robust::{biweight, deviation, median};

/// One partial of a note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeardPartial {
    /// Its number, 1 for the lowest.
    pub n: usize,
    /// In hertz.
    pub hertz: f64,
    /// Level of its amplitude at the jack when the string was plucked, in dB re full scale.
    pub level_db: f64,
    /// Level of what is between the partials there, in dB re full scale.
    pub noise_db: f64,
}

/// Window, and when it begins after the onset, in seconds.
const WINDOW: f64 = 0.085;
const ATTACK: f64 = 0.02;
/// So many windows are looked at, one behind the other.
const WINDOWS: usize = 8;
/// Highest partial and frequency, in hertz.
const MOST: usize = 40;
const TOP_HERTZ: f64 = 6500.0;

/// Measures the partials of a note that begins at sample `start` and has ended by `end`; none when it is too short.
///
/// High partials die within the window. How fast is seen from those that follow, as long as each partial sounds: the decay as a smooth curve of
/// frequency takes the first one's levels back to the onset.
pub(super) fn measure(
    samples: &[f32],
    start: usize,
    end: usize,
    rate: f64,
    series: &Series,
    planner: &mut RealFftPlanner<f64>,
) -> Option<Vec<HeardPartial>> {
    let length = window_samples(WINDOW, rate);
    let first = start + (ATTACK * rate) as usize;
    let windows = samples.get(first..end)?.chunks_exact(length).take(WINDOWS);
    let spectra: Vec<Spectrum> = windows.map(|window| Spectrum::of(window, rate, planner)).collect();
    if spectra.len() < 2 {
        return None;
    }
    let top = TOP_HERTZ.min(0.42 * rate);
    let numbers = (1..=MOST).take_while(|&n| series.partial(n) < top);
    let heard: Vec<Vec<HeardPartial>> =
        numbers.map(|n| spectra.iter().map(|spectrum| partial(spectrum, series, n)).collect()).collect();
    let time = length as f64 / rate;
    let decays: Vec<(f64, f64)> =
        heard.iter().filter_map(|windows| Some((windows[0].hertz, decay(windows)? / time))).collect();
    let decay = smooth(&decays);
    let middle = ATTACK + 0.5 * time;
    let at_onset = |windows: Vec<HeardPartial>| {
        let lost = decay(windows[0].hertz).max(0.0) * middle;
        HeardPartial { level_db: windows[0].level_db + lost, noise_db: windows[0].noise_db + lost, ..windows[0] }
    };
    Some(heard.into_iter().map(at_onset).collect())
}

/// Decay of a partial in dB from window to window, as long as it stands out: the median of the slopes between any two (Theil and Sen).
///
/// A string swings in two planes, a little out of tune with each other. They begin together and part, the sooner the higher the partial: over two
/// windows the beginning of that beat would pass for decay, and taking it back for treble that was not plucked.
fn decay(windows: &[HeardPartial]) -> Option<f64> {
    /// Above what is between the partials, in dB.
    const CLEAR_DB: f64 = 10.0;
    let clear: Vec<f64> = windows
        .iter()
        .take_while(|partial| partial.level_db > partial.noise_db + CLEAR_DB)
        .map(|partial| partial.level_db)
        .collect();
    let slope = |i: usize, j: usize| (clear[i] - clear[j]) / (j - i) as f64;
    let slopes: Vec<f64> =
        (1..clear.len()).flat_map(|j| (0..j).map(move |i| (i, j))).map(|(i, j)| slope(i, j)).collect();
    (!slopes.is_empty()).then(|| median(&slopes))
}

fn partial(spectrum: &Spectrum, series: &Series, n: usize) -> HeardPartial {
    let expected = series.partial(n);
    let db = |amplitude: f64| 20.0 * amplitude.max(1e-9).log10();
    let tone = spectrum.tone_near(expected, (3.0 * spectrum.spacing()).max(0.002 * expected));
    let amplitude = tone.map_or(spectrum.at(expected), |tone| tone.amplitude);
    let half = 0.5 * series.fundamental;
    let between = 0.5 * (spectrum.at(expected - half) + spectrum.at(expected + half));
    HeardPartial { n, hertz: expected, level_db: db(amplitude), noise_db: db(between) }
}

/// a + b f + c f^2 through points of frequency and value, far ones losing their weight; a constant where there are few.
fn smooth(points: &[(f64, f64)]) -> impl Fn(f64) -> f64 + use<> {
    let mut weights = vec![1.0; points.len()];
    let terms = if points.len() >= 10 { 3 } else { points.len().min(1) };
    let basis = |hertz: f64| [1.0, hertz / 1000.0, (hertz / 1000.0).powi(2)];
    let mut found = [0.0; 3];
    for _ in 0..6 {
        let mut normal = nalgebra::Matrix3::zeros();
        let mut right = nalgebra::Vector3::zeros();
        for (&(hertz, value), weight) in points.iter().zip(&weights) {
            let row = basis(hertz);
            for i in 0..terms {
                right[i] += weight * row[i] * value;
                (0..terms).for_each(|j| normal[(i, j)] += weight * row[i] * row[j]);
            }
        }
        // A little towards nothing, where points say nothing; terms that are not used stay 0.
        (0..3).for_each(|i| normal[(i, i)] += if i < terms { 1e-3 } else { 1.0 });
        let Some(solved) = normal.cholesky().map(|cholesky| cholesky.solve(&right)) else { break };
        found = [solved[0], solved[1], solved[2]];
        let at = |hertz: f64| basis(hertz).iter().zip(&found).map(|(basis, value)| basis * value).sum::<f64>();
        let residuals: Vec<f64> = points.iter().map(|&(hertz, value)| value - at(hertz)).collect();
        let scale = deviation(&residuals).max(0.5);
        weights
            .iter_mut()
            .zip(&residuals)
            .for_each(|(weight, residual)| *weight = biweight(residual / scale).max(1e-3));
    }
    move |hertz: f64| basis(hertz).iter().zip(&found).map(|(basis, value)| basis * value).sum()
}
