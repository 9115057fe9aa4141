//! BS.1770 weighting as a curve over frequency.

use num_complex::Complex64;

/// Gain of ITU-R BS.1770's K-weighting (as a power) at a frequency in hertz.
///
/// The standard gives two digital filters; these are the analogue ones behind them, taken back by the inverse bilinear
/// transform from the table of BS.1770-5, annex 1. They agree with the table's own response within 0.1 dB up to 10 kHz
/// (`tests/tests/survey`), where a guitar's circuit has long closed.
pub fn k_weighting(hertz: f64) -> f64 {
    head(hertz).norm_sqr() * high_pass(hertz).norm_sqr()
}

/// A second-order shelf: (g s^2 + sqrt(g) s/q + 1) / (s^2 + s/q + 1) about `CORNER`.
fn head(hertz: f64) -> Complex64 {
    const CORNER: f64 = 1_681.974_450_955_533;
    const QUALITY: f64 = 0.707_175_236_955_419_6;
    const TOP_DB: f64 = 3.999_843_853_973_347;
    let top = 10f64.powf(TOP_DB / 20.0);
    let s = Complex64::new(0.0, hertz / CORNER);
    (top * s * s + top.sqrt() * s / QUALITY + 1.0) / (s * s + s / QUALITY + 1.0)
}

/// A second-order high-pass.
fn high_pass(hertz: f64) -> Complex64 {
    const CORNER: f64 = 38.135_470_876_024_44;
    const QUALITY: f64 = 0.500_327_037_323_877_3;
    let s = Complex64::new(0.0, hertz / CORNER);
    s * s / (s * s + s / QUALITY + 1.0)
}
