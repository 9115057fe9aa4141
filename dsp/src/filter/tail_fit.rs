//! Which tails continue an impulse response after its last tap.

use super::Tail;

/// Least-squares fit of the tails to what follows the last tap, its solution prebuilt.
///
/// The response comes from a transform of `fft` points, so whatever outlasts it has wrapped around: a tail p^n appears
/// there as p^n / (1 - p^fft). The fit knows that, and takes the wrapped part out of the taps again.
pub(super) struct TailFit {
    samples: Vec<Sample>,
    /// Per pole: its powers at n + fft - N for the taps n, over 1 - p^fft.
    wrapped: Vec<[f32; Tail::POLES]>,
}

/// A sample of the response and its weight in each tail.
struct Sample {
    at: usize,
    weights: [f32; Tail::POLES],
}

impl TailFit {
    /// For `taps` taps out of a response of `fft` samples.
    pub(super) fn new(taps: usize, fft: usize, sample_rate: f64) -> Self {
        let poles = Tail::poles(sample_rate);
        let shape = |n: usize| poles.map(|pole| pole.powi((n - taps) as i32) / (1.0 - pole.powi(fft as i32)));
        let places = Self::places(taps, fft);
        let shapes: Vec<_> = places.iter().map(|&at| shape(at)).collect();
        let inverse = Inverse::of(&shapes);
        Self {
            samples: places
                .into_iter()
                .zip(&shapes)
                .map(|(at, shape)| Sample { at, weights: inverse.times(shape).map(|weight| weight as f32) })
                .collect(),
            wrapped: (0..taps).map(|n| shape(n + fft).map(|value| value as f32)).collect(),
        }
    }

    /// The tails of a response. Its first samples, the taps, are `taps`; the wrapped part is taken out of them.
    pub(super) fn fit(&self, response: &[f32], taps: &mut [f32]) -> [f32; Tail::POLES] {
        let mut tail = [0.0; Tail::POLES];
        for sample in &self.samples {
            let value = response[sample.at];
            tail.iter_mut().zip(sample.weights).for_each(|(tail, weight)| *tail += weight * value);
        }
        for (tap, wrapped) in taps.iter_mut().zip(&self.wrapped) {
            let [a, b, c, d] = *wrapped;
            *tap -= (a * tail[0] + b * tail[1]) + (c * tail[2] + d * tail[3]);
        }
        tail
    }

    /// About 200 samples, dense just after the last tap and up to seven eighths of the transform: the end may hold the
    /// ringing before time 0 of a response that is of minimum phase only nearly.
    fn places(taps: usize, fft: usize) -> Vec<usize> {
        let span = (fft * 7 / 8 - taps) as f64;
        let mut places: Vec<usize> = (0..200).map(|i| taps + span.powf(f64::from(i) / 199.0) as usize - 1).collect();
        places.dedup();
        places
    }
}

/// The inverse of the shapes' Gram matrix.
struct Inverse([[f64; Tail::POLES]; Tail::POLES]);

impl Inverse {
    /// By Gauss and Jordan's elimination; a Gram matrix of distinct exponentials is positive definite and needs no
    /// pivoting.
    fn of(shapes: &[[f64; Tail::POLES]]) -> Self {
        const N: usize = Tail::POLES;
        let mut left = [[0.0; N]; N];
        for shape in shapes {
            for (i, row) in left.iter_mut().enumerate() {
                row.iter_mut().zip(shape).for_each(|(cell, value)| *cell += shape[i] * value);
            }
        }
        let mut right: [[f64; N]; N] = std::array::from_fn(|i| std::array::from_fn(|j| f64::from(u8::from(i == j))));
        for pivot in 0..N {
            let scale = 1.0 / left[pivot][pivot];
            left[pivot].iter_mut().chain(&mut right[pivot]).for_each(|cell| *cell *= scale);
            let (pivot_left, pivot_right) = (left[pivot], right[pivot]);
            for row in (0..N).filter(|&row| row != pivot) {
                let factor = left[row][pivot];
                left[row].iter_mut().zip(pivot_left).for_each(|(cell, value)| *cell -= factor * value);
                right[row].iter_mut().zip(pivot_right).for_each(|(cell, value)| *cell -= factor * value);
            }
        }
        Self(right)
    }

    fn times(&self, shape: &[f64; Tail::POLES]) -> [f64; Tail::POLES] {
        self.0.map(|row| row.iter().zip(shape).map(|(cell, value)| cell * value).sum())
    }
}
