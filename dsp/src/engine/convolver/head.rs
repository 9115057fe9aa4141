//! The first taps, in the time domain.

/// Outputs computed at once: enough independent sums to keep the processor's units busy.
pub(super) const TILE: usize = 16;

/// Convolves `window` with `reversed` taps: out\[i\] = sum_k reversed\[k\] window\[i + k\].
///
/// Every output is summed in the same order wherever it falls in a block, so that block sizes cannot be heard. The
/// last tile reads up to [`TILE`] samples beyond what is needed and throws those sums away.
///
/// # Panics
/// When `window` is shorter than taps + outputs + [`TILE`] - 1, rounded.
#[inline(always)]
pub(super) fn convolve(reversed: &[f32], window: &[f32], out: &mut [f32]) {
    for (tile, out) in out.chunks_mut(TILE).enumerate() {
        let window = &window[tile * TILE..];
        let mut sums = [0.0; TILE];
        for (k, &tap) in reversed.iter().enumerate() {
            let samples: &[f32; TILE] = window[k..k + TILE].try_into().expect("the slice has this length");
            for (sum, &sample) in sums.iter_mut().zip(samples) {
                *sum += tap * sample;
            }
        }
        out.copy_from_slice(&sums[..out.len()]);
    }
}
