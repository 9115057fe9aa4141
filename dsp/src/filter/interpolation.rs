//! From the warped grid to the even bins of a transform.

use crate::conversion::Grid;

/// Cubic Lagrange interpolation on four neighbouring points, index and weights prebuilt for every bin.
pub(super) struct Interpolation {
    bins: Vec<Bin>,
}

struct Bin {
    first: usize,
    weights: [f32; 4],
}

impl Interpolation {
    /// From `grid` to the bins 0, `spacing`, 2 `spacing`, .. (in hertz), `bins` of them.
    pub(super) fn new(grid: &Grid, bins: usize, spacing: f64) -> Self {
        let at = |bin: usize| {
            let (first, weights) = grid.cubic(bin as f64 * spacing);
            Bin { first, weights: weights.map(|weight| weight as f32) }
        };
        Self { bins: (0..bins).map(at).collect() }
    }

    /// Interpolates `curve` (one value per point of the grid) into `out` (one value per bin).
    pub(super) fn apply(&self, curve: &[f32; Grid::POINTS], out: &mut [f32]) {
        for (out, bin) in out.iter_mut().zip(&self.bins) {
            let points = &curve[bin.first..bin.first + 4];
            let [a, b, c, d] = bin.weights;
            *out = (points[0] * a + points[1] * b) + (points[2] * c + points[3] * d);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Lagrange's interpolation is exact for polynomials of third degree.
    #[test]
    fn a_cubic_curve_is_met_to_rounding() {
        let cubic = |x: f64| 1.0 + x * (-0.02 + x * (3e-4 - 1.5e-6 * x));
        let grid = Grid::up_to(24_000.0);
        let mut curve = [0.0; Grid::POINTS];
        curve.iter_mut().enumerate().for_each(|(i, value)| *value = cubic(i as f64) as f32);
        let mut out = vec![0.0; 4097];
        let spacing = 24_000.0 / 4096.0;
        Interpolation::new(&grid, 4097, spacing).apply(&curve, &mut out);
        for (bin, &value) in out.iter().enumerate() {
            let wanted = cubic(grid.place(bin as f64 * spacing));
            // Four products of single precision, values up to about 2.
            assert!((f64::from(value) - wanted).abs() < 2e-6, "bin {bin}: {value} instead of {wanted}");
        }
    }
}
