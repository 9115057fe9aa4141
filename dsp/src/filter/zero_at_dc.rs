//! A curve that falls to nothing at 0 Hz, as behind a bass-cut capacitor.
//!
//! ln|G| then runs to minus infinity, which neither four grid points nor the bins of a transform can follow. But the
//! factor responsible is known: 1 - 1/z has ln|2 sin(w/2)| and the phase (pi - w)/2, and is of minimum phase. It is
//! taken out on the grid, what remains is smooth, and it is put back in closed form.

use std::f64::consts::PI;

use num_complex::Complex;

use crate::conversion::Grid;

/// The factor 1 - 1/z on a grid and on the bins of a transform.
pub(super) struct ZeroAtDc {
    on_grid: [f32; Grid::POINTS],
    on_bins: Vec<f32>,
    phases: Vec<f32>,
    /// ln(f1 / f0) of the two lowest points of the grid.
    lowest_octaves: f32,
}

impl ZeroAtDc {
    /// ln|1 - 1/z| at 0 Hz, where it has no value: -347 dB.
    const NOTHING: f32 = -40.0;

    /// For a grid and `bins` bins from 0 Hz to half the sample rate, in hertz.
    pub(super) fn new(grid: &Grid, bins: usize, sample_rate: f64) -> Self {
        let log_gain = |hertz: f64| (2.0 * (PI * hertz.min(sample_rate / 2.0) / sample_rate).sin()).ln() as f32;
        let hertz = grid.hertz();
        let turn = PI / (bins - 1) as f64;
        Self {
            on_grid: std::array::from_fn(|point| log_gain(hertz[point])),
            on_bins: (0..bins)
                .map(|bin| log_gain(bin as f64 * turn / PI * sample_rate / 2.0).max(Self::NOTHING))
                .collect(),
            phases: (0..bins).map(|bin| ((PI - bin as f64 * turn) / 2.0) as f32).collect(),
            lowest_octaves: (hertz[1] / hertz[0]).ln() as f32,
        }
    }

    /// How many such factors a curve holds: its slope at the lowest points, 0 to 2.
    ///
    /// Rounded, because a circuit has a whole number of them; all else that happens down there is smooth.
    pub(super) fn count(&self, curve: &[f32; Grid::POINTS]) -> f32 {
        ((curve[1] - curve[0]) / self.lowest_octaves).round().clamp(0.0, 2.0)
    }

    /// Takes `count` factors out of a curve on the grid.
    pub(super) fn remove(&self, count: f32, curve: &mut [f32; Grid::POINTS]) {
        curve.iter_mut().zip(&self.on_grid).for_each(|(value, zero)| *value -= count * zero);
    }

    /// Puts `count` factors back: ln|H| in `log_gain`, phase in the imaginary parts of `spectrum`.
    pub(super) fn restore(&self, count: f32, log_gain: &mut [f32], spectrum: &mut [Complex<f32>]) {
        log_gain.iter_mut().zip(&self.on_bins).for_each(|(value, zero)| *value += count * zero);
        spectrum.iter_mut().zip(&self.phases).for_each(|(bin, phase)| bin.im += count * phase);
    }
}
