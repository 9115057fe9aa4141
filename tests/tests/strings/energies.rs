//! Prior energies.

use dryfit_dsp::string::{Energies, prior};

use crate::guitar::three_single_coils;
use crate::table::grid;

/// Source: the reference study's prior (place/t1.py, `an`): power 1e-3 below 0.9 of the open string, (f0/f)^2 above it.
/// Tolerances are rounding.
#[test]
fn the_prior_is_silent_below_the_open_string_and_falls_with_the_square_of_frequency() {
    assert_eq!(prior(110.0, 110.0), 1.0);
    assert!((prior(110.0, 98.9) - 1e-3).abs() < 1e-12 && (prior(110.0, 1e-2) - 1e-3).abs() < 1e-12);
    assert!((prior(110.0, 220.0) - 0.25).abs() < 1e-12 && (prior(110.0, 1100.0) - 0.01).abs() < 1e-12);
    let edge: Vec<f64> = (0..=100).map(|i| 10.0 * prior(110.0, 98.0 + 0.13 * f64::from(i)).log10()).collect();
    let steepest = edge.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max);
    // 30 dB over 11 Hz, eased at both ends: at most 1.5 times the mean slope, 0.53 dB in a step of 0.13 Hz; 5 % more
    // because the easing is over ln(f).
    assert!(steepest < 0.56, "{steepest} dB in one step");
}

/// Where a string begins, the sum over all strings must not leap on the circuit's grid: the lower strings carry it. The
/// string a fourth below has (3/4)^2 of the new one's power, so the sum rises by at most 10 lg(1 + 16/9) = 4.4 dB in the two
/// points of the edge, less what the lower ones fall.
#[test]
fn a_string_that_begins_does_not_make_the_sum_of_the_priors_leap() {
    let (grid, guitar) = (grid(), three_single_coils());
    let energies = Energies::prior(&guitar, &grid);
    let total: Vec<f64> = (0..grid.len()).map(|p| energies.per_string.iter().map(|e| e[p]).sum()).collect();
    for (p, pair) in total.windows(2).enumerate().filter(|(p, _)| grid[*p] > 83.0) {
        let step = 10.0 * (pair[1] / pair[0]).log10();
        assert!(step.abs() < 4.4, "{step} dB at {} Hz", grid[p]);
    }
}
