//! Several numbers at once.

use wide::f32x8;

/// Runs loops over slices with the widest registers that the processor has, and not only with those that every processor of its
/// kind has. What comes of it is the same to the last bit: no order of a sum is changed by it, and nothing is fused.
///
/// What is called inside has to be inlined to gain by it.
#[inline(always)]
pub fn vectorised<R>(work: impl FnOnce() -> R) -> R {
    pulp::Arch::new().dispatch(work)
}

/// How many values [`lanes`] takes.
pub const LANES: usize = 8;

/// Eight values at once.
///
/// # Panics
/// When it is another number of values.
#[inline(always)]
pub fn lanes(values: &[f32]) -> f32x8 {
    f32x8::new(values.try_into().expect("groups of eight"))
}

/// Sum of products of two rows of one length.
#[inline(always)]
pub fn dot(a: &[f32], b: &[f32]) -> f32 {
    const SUMS: usize = 2 * LANES;
    let mut sums = [0.0; SUMS];
    let ((a, a_rest), (b, b_rest)) = (a.as_chunks::<SUMS>(), b.as_chunks::<SUMS>());
    for (a, b) in a.iter().zip(b) {
        for k in 0..SUMS {
            sums[k] += a[k] * b[k];
        }
    }
    for (sum, (a, b)) in sums.iter_mut().zip(a_rest.iter().zip(b_rest)) {
        *sum += a * b;
    }
    for half in [8, 4, 2, 1] {
        for k in 0..half {
            sums[k] += sums[k + half];
        }
    }
    sums[0]
}

/// Adds so much of a row to a sum.
#[inline(always)]
pub fn add(sum: &mut [f32], factor: f32, row: &[f32]) {
    sum.iter_mut().zip(row).for_each(|(sum, value)| *sum += factor * value);
}
