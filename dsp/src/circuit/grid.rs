//! The warped frequency grid on which responses are kept.

/// Frequencies, in hertz, that are even on a scale which is linear near 0 Hz and logarithmic above: f = 60 sinh(x).
///
/// A response curve of a passive guitar circuit is smooth on this scale, so 192 points and cubic interpolation of
/// ln|H| stay within 0.005 dB of the exact curve for ordinary wirings, whatever the knobs. The error is that of cubic
/// interpolation at a resonance, 19.5 (h Q)^4 dB with the step h of the scale, so 128 points are 0.007 dB off already
/// for pickups without a tone to damp them, and add-ons that take all damping away come to 0.015 dB with 192
/// (measured over random wirings up to 96 kHz: `tests/tests/circuit_compiled.rs`).
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    top: f64,
    hertz: Vec<f64>,
}

impl Grid {
    /// Points on a grid.
    pub const POINTS: usize = 192;
    /// Below this frequency, in hertz, the scale is nearly linear.
    const BEND: f64 = 60.0;
    /// Stands in for 0 Hz, where capacitors would leave nodes floating.
    const LOWEST: f64 = 1e-2;

    /// A grid of [`Grid::POINTS`] points from (almost) 0 Hz up to `top`, in hertz.
    ///
    /// # Panics
    /// When `top` is not a positive finite number.
    pub fn up_to(top: f64) -> Self {
        assert!(top.is_finite() && top > 0.0, "a grid needs a positive top frequency, not {top}");
        let step = (top / Self::BEND).asinh() / (Self::POINTS - 1) as f64;
        let hertz = (0..Self::POINTS).map(|i| (Self::BEND * (step * i as f64).sinh()).max(Self::LOWEST)).collect();
        Self { top, hertz }
    }

    /// The frequencies, ascending, in hertz.
    pub fn hertz(&self) -> &[f64] {
        &self.hertz
    }

    /// The highest frequency, in hertz.
    pub fn top(&self) -> f64 {
        self.top
    }

    /// Where a frequency, in hertz, lies on the grid, in points from its start (a fraction).
    pub fn place(&self, hertz: f64) -> f64 {
        (hertz / Self::BEND).asinh() / (self.top / Self::BEND).asinh() * (Self::POINTS - 1) as f64
    }

    /// Cubic Lagrange interpolation at a frequency, in hertz: the first of four neighbouring points, and their weights.
    pub fn cubic(&self, hertz: f64) -> (usize, [f64; 4]) {
        let place = self.place(hertz);
        let first = (place.floor() as usize).saturating_sub(1).min(Self::POINTS - 4);
        let x = place - first as f64;
        // The grid is even in `place`, so these are Lagrange's weights for the nodes 0, 1, 2, 3.
        let weights = [
            -(x - 1.0) * (x - 2.0) * (x - 3.0) / 6.0,
            x * (x - 2.0) * (x - 3.0) / 2.0,
            -x * (x - 1.0) * (x - 3.0) / 2.0,
            x * (x - 1.0) * (x - 2.0) / 6.0,
        ];
        (first, weights)
    }
}
