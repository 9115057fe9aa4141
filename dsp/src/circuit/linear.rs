//! Dense complex linear systems, small enough that nothing cleverer pays.

use num_complex::Complex64;

/// Solves A x = b in place by Gaussian elimination with partial pivoting; `matrix` is row-major, `order` x `order`.
///
/// # Errors
/// The unknown that is left undetermined when A is singular to working precision.
pub(super) fn solve(matrix: &mut [Complex64], rhs: &mut [Complex64], order: usize) -> Result<(), usize> {
    for k in 0..order {
        pivot(matrix, rhs, order, k)?;
        let inverse = matrix[k * order + k].inv();
        for i in k + 1..order {
            let factor = matrix[i * order + k] * inverse;
            if factor == Complex64::ZERO {
                continue;
            }
            let (upper, lower) = matrix.split_at_mut(i * order);
            let pivot_row = &upper[k * order + k..k * order + order];
            lower[k..order].iter_mut().zip(pivot_row).for_each(|(a, &p)| *a -= factor * p);
            let head = rhs[k];
            rhs[i] -= factor * head;
        }
    }
    for k in (0..order).rev() {
        let row = &matrix[k * order..(k + 1) * order];
        let known: Complex64 = row[k + 1..].iter().zip(&rhs[k + 1..]).map(|(&a, &x)| a * x).sum();
        rhs[k] = (rhs[k] - known) / row[k];
    }
    Ok(())
}

/// Transposes a row-major square matrix in place.
pub(super) fn transpose(matrix: &mut [Complex64], order: usize) {
    for i in 0..order {
        for j in 0..i {
            matrix.swap(i * order + j, j * order + i);
        }
    }
}

/// Brings the largest entry of column k, on or below the diagonal, to the diagonal.
fn pivot(matrix: &mut [Complex64], rhs: &mut [Complex64], order: usize, k: usize) -> Result<(), usize> {
    let size = |row: usize| matrix[row * order + k].norm_sqr();
    let best = (k..order).max_by(|&i, &j| size(i).total_cmp(&size(j))).unwrap_or(k);
    if !(size(best) > f64::MIN_POSITIVE) || !size(best).is_finite() {
        return Err(k);
    }
    if best != k {
        for j in 0..order {
            matrix.swap(k * order + j, best * order + j);
        }
        rhs.swap(k, best);
    }
    Ok(())
}
