//! Test signals and measures.

use std::f64::consts::TAU;

/// Noise of even spectrum and even distribution, the same on every run (a linear congruential generator, constants after
/// Knuth's MMIX).
pub fn noise(samples: usize, level: f32) -> Vec<f32> {
    let mut state = 1u64;
    let next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 40) as f32 / (1u64 << 23) as f32 - 1.0) * level
    };
    std::iter::repeat_with(next).take(samples).collect()
}

/// A sum of sines of falling level: a low note, smooth enough that a click stands out.
pub fn low_note(samples: usize, sample_rate: f64) -> Vec<f32> {
    let partial = |t: f64, n: f64| (TAU * 110.0 * n * t).sin() / n;
    (0..samples)
        .map(|i| (1..=4).map(|n| partial(i as f64 / sample_rate, f64::from(n))).sum::<f64>() as f32 * 0.2)
        .collect()
}

/// An impulse.
pub fn impulse(samples: usize) -> Vec<f32> {
    let mut samples = vec![0.0; samples];
    samples[0] = 1.0;
    samples
}

/// Magnitude of the Fourier transform of samples at a frequency, by definition.
pub fn magnitude(samples: &[f32], sample_rate: f64, hertz: f64) -> f64 {
    let (mut re, mut im) = (0.0, 0.0);
    for (i, &sample) in samples.iter().enumerate() {
        let phase = TAU * hertz * i as f64 / sample_rate;
        re += f64::from(sample) * phase.cos();
        im -= f64::from(sample) * phase.sin();
    }
    re.hypot(im)
}

/// The frequency, in hertz, of the largest magnitude within limits, in steps of 1 %.
pub fn peak(samples: &[f32], sample_rate: f64, low: f64, high: f64) -> f64 {
    let steps = ((high / low).ln() / 0.01) as usize;
    let frequencies = (0..=steps).map(|i| low * (0.01 * i as f64).exp());
    frequencies
        .max_by(|a, b| magnitude(samples, sample_rate, *a).total_cmp(&magnitude(samples, sample_rate, *b)))
        .unwrap_or(low)
}

/// Level of the difference of two signals against the first, in dB; minus infinity when they are the same.
pub fn difference_db(a: &[f32], b: &[f32]) -> f64 {
    let energy = |values: &mut dyn Iterator<Item = f64>| values.map(|value| value * value).sum::<f64>();
    let difference = energy(&mut a.iter().zip(b).map(|(a, b)| f64::from(a - b)));
    10.0 * (difference / energy(&mut a.iter().map(|&a| f64::from(a)))).log10()
}

/// Largest step from one sample to the next.
pub fn steepest(samples: &[f32]) -> f32 {
    samples.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f32::max)
}

/// Largest magnitude.
pub fn loudest(samples: &[f32]) -> f32 {
    samples.iter().fold(0.0, |peak, sample| peak.max(sample.abs()))
}

/// Whether two signals are the same bit for bit.
pub fn same_bits(a: &[f32], b: &[f32]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.to_bits() == b.to_bits())
}
