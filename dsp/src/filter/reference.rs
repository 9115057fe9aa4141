//! The same by definition: slow, plain, in double precision. What tests compare the fast way with.

use std::f64::consts::TAU;

use num_complex::Complex;

use super::{Filter, Tail};

/// Response at one frequency, both in hertz: H(f) = sum_n h\[n\] exp(-i 2 pi f n / sample rate), the tails summed as
/// the geometric series they are.
pub fn response(filter: &Filter, sample_rate: f64, hertz: f64) -> Complex<f64> {
    let delay = |samples: usize| Complex::from_polar(1.0, -TAU * hertz * samples as f64 / sample_rate);
    let tails = filter.tail.iter().zip(Tail::poles(sample_rate));
    let tails: Complex<f64> = tails.map(|(&start, pole)| f64::from(start) / (1.0 - delay(1) * pole)).sum();
    samples_response(&filter.taps, sample_rate, hertz) + delay(filter.taps.len()) * tails
}

/// The same for samples that have come to their end.
pub fn samples_response(samples: &[f32], sample_rate: f64, hertz: f64) -> Complex<f64> {
    let turn = TAU * hertz / sample_rate;
    samples.iter().enumerate().map(|(n, &tap)| Complex::from_polar(f64::from(tap), -turn * n as f64)).sum()
}

/// The first `length` samples of a filter's impulse response.
pub fn impulse_response(filter: &Filter, sample_rate: f64, length: usize) -> Vec<f32> {
    let poles = Tail::poles(sample_rate);
    let tail =
        |n: i32| -> f64 { filter.tail.iter().zip(poles).map(|(&start, pole)| f64::from(start) * pole.powi(n)).sum() };
    let tails = (0..).map(|n| tail(n) as f32);
    filter.taps.iter().copied().chain(tails).take(length).collect()
}

/// Minimum-phase response for ln|H| at the bins 0 ..= n / 2 of an n-point transform, every sum written out.
///
/// # Panics
/// When `log_gain` has fewer than two values.
pub fn minimum_phase(log_gain: &[f64]) -> Vec<f64> {
    assert!(log_gain.len() >= 2, "a magnitude needs its values at 0 Hz and at half the sample rate");
    let n = 2 * (log_gain.len() - 1);
    let even: Vec<Complex<f64>> = (0..n).map(|k| log_gain[k.min(n - k)].into()).collect();
    let mut cepstrum = transform(&even, 1.0);
    cepstrum.iter_mut().for_each(|value| *value /= n as f64);
    for (time, value) in cepstrum.iter_mut().enumerate() {
        *value *= if time == 0 || time == n / 2 {
            1.0
        } else if time < n / 2 {
            2.0
        } else {
            0.0
        };
    }
    let spectrum: Vec<Complex<f64>> = transform(&cepstrum, -1.0).iter().map(|value| value.exp()).collect();
    transform(&spectrum, 1.0).iter().map(|value| value.re / n as f64).collect()
}

/// The discrete Fourier transform by definition, exponent's sign given.
fn transform(input: &[Complex<f64>], sign: f64) -> Vec<Complex<f64>> {
    let n = input.len();
    let bin = |k: usize| {
        // k * i mod n keeps the angle small and exact.
        let turn = |i: usize| Complex::from_polar(1.0, sign * TAU * ((k * i) % n) as f64 / n as f64);
        input.iter().enumerate().map(|(i, value)| value * turn(i)).sum()
    };
    (0..n).map(bin).collect()
}
