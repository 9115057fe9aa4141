//! Estimates that a few wrong values cannot spoil.

/// Median; 0 for none.
pub(super) fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    match sorted.len() {
        0 => 0.0,
        length if length % 2 == 1 => sorted[length / 2],
        length => 0.5 * (sorted[length / 2 - 1] + sorted[length / 2]),
    }
}

/// Standard deviation of normal values around 0 from the median of their magnitudes (1.4826 times it).
pub(super) fn deviation(residuals: &[f64]) -> f64 {
    1.4826 * median(&residuals.iter().map(|residual| residual.abs()).collect::<Vec<_>>())
}

/// Tukey's biweight of a residual in standard deviations, with the constant that is 95 % efficient on normal ones.
pub(super) fn biweight(residual: f64) -> f64 {
    let share = residual / 4.685;
    if share.abs() >= 1.0 { 0.0 } else { (1.0 - share * share).powi(2) }
}

/// Huber's weight of a residual in standard deviations, with the constant that is 95 % efficient on normal ones.
pub(super) fn huber(residual: f64) -> f64 {
    1.345 / residual.abs().max(1.345)
}
