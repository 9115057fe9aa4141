//! What a pickup makes of a wave at its place.

use dryfit_dsp::document::{Magnet, Pickup, Winding};
use dryfit_dsp::string::sensing;

use crate::guitar::pickup;

/// Second route: the mean of sin(k x) over the width, summed piece by piece. Tolerance: the midpoint sum's own error,
/// (k h)^2 / 24 with 10000 pieces, is below 1e-8.
#[test]
fn a_wide_pickup_senses_the_mean_of_what_lies_over_it() {
    let wide = pickup(0.16);
    for k in [5.0, 60.0, 300.0, 700.0] {
        let pieces = 10_000;
        let place = |i: i32| 0.16 + wide.sensing_width * ((f64::from(i) + 0.5) / f64::from(pieces) - 0.5);
        let mean = (0..pieces).map(|i| (k * place(i)).sin()).sum::<f64>() / f64::from(pieces);
        assert!((sensing::sense(&wide, 0.16, k) - mean).abs() < 1e-8, "k = {k}");
    }
}

#[test]
fn only_winding_and_magnet_together_leave_a_pickup_as_it_was() {
    let plain = pickup(0.1);
    let magnet = Pickup { magnet: Magnet::South, ..plain.clone() };
    let both = Pickup { winding: Winding::CounterClockwise, ..magnet.clone() };
    assert_eq!(sensing::sense(&magnet, 0.1, 12.0), -sensing::sense(&plain, 0.1, 12.0));
    assert_eq!(sensing::sense(&both, 0.1, 12.0), sensing::sense(&plain, 0.1, 12.0));
}

/// The tolerance is rounding at the knots; between and beyond them nothing may lie outside what was asked for.
#[test]
fn voicing_passes_through_its_knots_without_overshoot_and_is_flat_outside() {
    let knots = vec![(80.0, 0.0), (400.0, 6.0), (1000.0, 6.0), (5000.0, -9.0)];
    let voiced = Pickup { output_db: 2.0, voicing: knots.clone(), ..pickup(0.16) };
    let level_db = |hertz: f64| 20.0 * sensing::voice(&voiced, hertz).log10();
    for (hertz, db) in knots {
        assert!((level_db(hertz) - db - 2.0).abs() < 1e-9, "{hertz} Hz: {}", level_db(hertz));
    }
    assert!((level_db(20.0) - 2.0).abs() < 1e-9 && (level_db(20000.0) + 7.0).abs() < 1e-9);
    let curve: Vec<f64> = (0..2000).map(|i| level_db(20.0 * 1000.0_f64.powf(f64::from(i) / 1999.0))).collect();
    assert!(curve.iter().all(|&db| db > -7.0 - 1e-9 && db < 8.0 + 1e-9));
    // Straight lines between these knots would bend by 0.032 dB within one step where the steepest one begins (15 dB in
    // 466 steps); a cubic bends ten times less.
    let bends = curve.windows(3).map(|w| (w[2] - 2.0 * w[1] + w[0]).abs());
    assert!(bends.fold(0.0, f64::max) < 0.0032, "a corner");
}
