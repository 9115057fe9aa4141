//! Dense complex linear systems, small enough that nothing cleverer pays.

use num_complex::Complex64;

/// Solves A X = B in place by Gaussian elimination with partial pivoting. `matrix` is row-major, `order` x `order`;
/// `rhs` is row-major with any number of columns and becomes X.
///
/// # Errors
/// The unknown that is left undetermined when A is singular to working precision.
pub(super) fn solve(matrix: &mut [Complex64], rhs: &mut [Complex64], order: usize) -> Result<(), usize> {
    let columns = rhs.len().checked_div(order).unwrap_or(0);
    let columns_before: Vec<f64> = (0..order).map(|k| largest(matrix, order, k)).collect();
    for k in 0..order {
        pivot(matrix, rhs, order, k, columns_before[k] * (ROUNDING * ROUNDING))?;
        let inverse = matrix[k * order + k].inv();
        for i in k + 1..order {
            let factor = matrix[i * order + k] * inverse;
            if factor == Complex64::ZERO {
                continue;
            }
            subtract_row(matrix, order, k, i, k, factor);
            subtract_row(rhs, columns, k, i, 0, factor);
        }
    }
    for k in (0..order).rev() {
        let inverse = matrix[k * order + k].inv();
        rhs[k * columns..(k + 1) * columns].iter_mut().for_each(|x| *x *= inverse);
        for i in 0..k {
            let factor = matrix[i * order + k];
            if factor != Complex64::ZERO {
                subtract_row(rhs, columns, k, i, 0, factor);
            }
        }
    }
    Ok(())
}

/// Subtracts `factor` times one row from another, from column `start` on.
fn subtract_row(
    matrix: &mut [Complex64],
    columns: usize,
    source: usize,
    target: usize,
    start: usize,
    factor: Complex64,
) {
    let (low, high) = (source.min(target), source.max(target));
    let (head, tail) = matrix.split_at_mut(high * columns);
    let (low, high) = (&mut head[low * columns..(low + 1) * columns], &mut tail[..columns]);
    let (from, to) = if source < target { (low, high) } else { (high, low) };
    to[start..].iter_mut().zip(&from[start..]).for_each(|(t, &s)| *t -= factor * s);
}

/// Transposes a row-major square matrix in place.
pub(super) fn transpose(matrix: &mut [Complex64], order: usize) {
    for i in 0..order {
        for j in 0..i {
            matrix.swap(i * order + j, j * order + i);
        }
    }
}

/// What is left of a column by rounding alone, relative to its largest entry before the elimination: a singular
/// matrix seldom cancels to exactly 0.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

/// Square of the largest entry of column k.
fn largest(matrix: &[Complex64], order: usize, k: usize) -> f64 {
    (0..order).map(|row| matrix[row * order + k].norm_sqr()).fold(0.0, f64::max)
}

/// Brings the largest entry of column k, on or below the diagonal, to the diagonal; its square must exceed `floor`.
fn pivot(matrix: &mut [Complex64], rhs: &mut [Complex64], order: usize, k: usize, floor: f64) -> Result<(), usize> {
    let size = |row: usize| matrix[row * order + k].norm_sqr();
    let best = (k..order).max_by(|&i, &j| size(i).total_cmp(&size(j))).unwrap_or(k);
    if size(best) <= floor.max(f64::MIN_POSITIVE) || !size(best).is_finite() {
        return Err(k);
    }
    if best != k {
        swap_rows(matrix, order, k, best);
        swap_rows(rhs, rhs.len() / order, k, best);
    }
    Ok(())
}

fn swap_rows(matrix: &mut [Complex64], columns: usize, a: usize, b: usize) {
    for column in 0..columns {
        matrix.swap(a * columns + column, b * columns + column);
    }
}
