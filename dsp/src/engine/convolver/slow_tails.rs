//! The one-pole tails that continue a filter after its last tap.

use crate::filter::Tail;

/// The tails' states for one channel: s_k\[n\] = p_k s_k\[n - 1\] + x\[n - N\]. All filters have the same poles
/// ([`Tail::poles`]), so a filter's tail is a weighted sum of these, and a new filter has its tail at once.
///
/// N is a whole number of steps: what a step needs came N samples ago, so a whole step is computed at its boundary.
pub(super) struct SlowTails {
    poles: [f64; Tail::POLES],
    states: [f64; Tail::POLES],
    /// The last N samples, as a ring of steps.
    delay: Vec<f32>,
    oldest: usize,
    /// The states over the current step.
    curves: [Vec<f32>; Tail::POLES],
}

impl SlowTails {
    /// States this small (-400 dB) are 0, before they become denormal.
    const SMALLEST: f64 = 1e-20;

    pub(super) fn new(sample_rate: f64, taps: usize, step: usize) -> Self {
        Self {
            poles: Tail::poles(sample_rate),
            states: [0.0; Tail::POLES],
            delay: vec![0.0; taps.next_multiple_of(step)],
            oldest: 0,
            curves: std::array::from_fn(|_| vec![0.0; step]),
        }
    }

    /// Takes the step that has come to its end, and computes the states over the next one.
    pub(super) fn advance(&mut self, step: &[f32]) {
        self.delay[self.oldest..self.oldest + step.len()].copy_from_slice(step);
        self.oldest = (self.oldest + step.len()) % self.delay.len();
        let input = &self.delay[self.oldest..self.oldest + step.len()];
        for ((state, &pole), curve) in self.states.iter_mut().zip(&self.poles).zip(&mut self.curves) {
            for (value, &sample) in curve.iter_mut().zip(input) {
                *state = pole * *state + f64::from(sample);
                *value = *state as f32;
            }
            if state.abs() < Self::SMALLEST {
                *state = 0.0;
            }
        }
    }

    /// Adds a filter's tail over the current step.
    pub(super) fn add(&self, tail: &[f32; Tail::POLES], out: &mut [f32]) {
        for (&share, curve) in tail.iter().zip(&self.curves) {
            out.iter_mut().zip(curve).for_each(|(out, &value)| *out += share * value);
        }
    }

    pub(super) fn reset(&mut self) {
        self.states = [0.0; Tail::POLES];
        self.delay.fill(0.0);
        self.curves.iter_mut().for_each(|curve| curve.fill(0.0));
        self.oldest = 0;
    }
}
