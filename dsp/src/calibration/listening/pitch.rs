//! The pitch of one note.

use num_complex::Complex64;
use realfft::RealFftPlanner;

use super::spectrum::Spectrum;

/// Pitch in hertz within a range; none where nothing repeats.
///
/// Autocorrelation from the spectrum, divided by that of the window (Boersma 1993, Accurate short-term analysis of the fundamental
/// frequency), of compressed amplitudes, so that a single strong partial does not decide (Tolonen and Karjalainen 2000, A
/// computationally efficient multipitch analysis model). Of its maxima the one at the shortest lag counts that is nearly as high as the
/// highest.
pub(super) fn pitch(spectrum: &Spectrum, range: (f64, f64), planner: &mut RealFftPlanner<f64>) -> Option<f64> {
    /// Partials above this are too inharmonic to repeat, in hertz.
    const TOP_HERTZ: f64 = 2500.0;
    /// Exponent of the amplitudes.
    const COMPRESSION: f64 = 0.7;
    /// A lag counts that is this high against the highest.
    const NEARLY: f64 = 0.86;
    /// Nothing repeats below this.
    const LEAST: f64 = 0.25;

    let bins = spectrum.amplitudes().len();
    let length = 2 * (bins - 1);
    let inverse = planner.plan_fft_inverse(length);
    let mut power = vec![Complex64::ZERO; bins];
    let end = ((TOP_HERTZ / spectrum.spacing()) as usize).min(bins - 1);
    let start = (0.7 * range.0 / spectrum.spacing()) as usize;
    let loudest = spectrum.amplitudes()[start..end].iter().fold(0.0f64, |max, &value| max.max(value));
    for (value, amplitude) in power[start..end].iter_mut().zip(&spectrum.amplitudes()[start..end]) {
        // What lies 50 dB below the strongest partial is noise and the window's skirt.
        let relative = (amplitude / loudest - 0.003).max(0.0);
        value.re = relative.powf(COMPRESSION);
    }
    let mut correlation = vec![0.0; length];
    inverse.process(&mut power, &mut correlation).expect("buffers are as long as the transform");
    let rate = spectrum.spacing() * length as f64;
    let window = |lag: f64| {
        // Of a Hann window over half the transform; Boersma's equation 8 without its constant term.
        let t = lag / (0.5 * length as f64);
        let turn = std::f64::consts::TAU * t;
        (1.0 - t) * (2.0 / 3.0 + turn.cos() / 3.0) + turn.sin() / std::f64::consts::TAU
    };
    let value = |lag: usize| correlation[lag] / correlation[0] / window(lag as f64).max(0.1);
    let lags = (rate / range.1) as usize..((rate / range.0) as usize + 2).min(length / 4);
    let maxima: Vec<usize> =
        lags.filter(|&lag| lag > 1 && value(lag) >= value(lag - 1) && value(lag) > value(lag + 1)).collect();
    let highest = maxima.iter().map(|&lag| value(lag)).fold(f64::MIN, f64::max);
    let found = maxima.into_iter().find(|&lag| value(lag) >= NEARLY * highest && value(lag) > LEAST)?;
    let [before, here, after] = [found - 1, found, found + 1].map(value);
    let off = 0.5 * (before - after) / (before - 2.0 * here + after - 1e-12);
    Some(rate / (found as f64 + off.clamp(-0.5, 0.5)))
}
