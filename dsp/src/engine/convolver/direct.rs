//! Convolution by definition, in double precision: slow, what tests compare the fast way with.

/// y\[n\] = sum_k h\[k\] x\[n - k\], as long as `input`.
pub fn convolve(taps: &[f32], input: &[f32]) -> Vec<f64> {
    let sample = |n: usize| {
        taps.iter().zip(input[..=n].iter().rev()).map(|(&tap, &sample)| f64::from(tap) * f64::from(sample)).sum()
    };
    (0..input.len()).map(sample).collect()
}
