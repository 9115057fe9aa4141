//! What a pickup makes of a wave on a string.
//!
//! For a wave of wavenumber k the string moves in proportion to sin(k x) at a distance x from the bridge, and a pickup
//! answers with S = sign * sin(k x) * aperture(k), the mean over its sensing width. S is real and signed. A pickup's level
//! and voicing g(f) is kept apart, because it also acts on what fills the comb's nulls.

use crate::document::Pickup;

/// S of the pickup for wavenumber k (in radians per metre) at `distance` metres from the bridge. Signed: negative where
/// the string moves the other way, and turned over when the pickup's winding and magnet say so.
pub fn sense(pickup: &Pickup, distance: f64, wavenumber: f64) -> f64 {
    pickup.signal_sign() * (wavenumber * distance).sin() * aperture(pickup, wavenumber)
}

/// The comb's top at that wavenumber: the mean of a wave over the sensing width w is the wave at its middle times
/// sin(k w / 2) / (k w / 2).
pub fn aperture(pickup: &Pickup, wavenumber: f64) -> f64 {
    let half = 0.5 * wavenumber * pickup.sensing_width;
    if half.abs() < 1e-8 { 1.0 } else { half.sin() / half }
}

/// What fills the comb's nulls, as a power relative to the comb's top: |S|^2 becomes |S|^2 + floor * aperture^2. It stands
/// for motion that the equation above leaves out (the other polarisation, a field that is not uniform), so it has no
/// fixed phase and does not add up between pickups.
pub fn null_floor(pickup: &Pickup) -> f64 {
    10.0_f64.powf(pickup.null_depth_db / 10.0)
}

/// Level and voicing g(f), as an amplitude. Between the voicing's knots a cubic in dB over ln(f) that passes through them
/// without overshoot and is level at the ends, where it goes on flat.
///
/// Expects knots in ascending order, as the document promises.
pub fn voice(pickup: &Pickup, hertz: f64) -> f64 {
    10.0_f64.powf((pickup.output_db + voicing_db(&pickup.voicing, hertz)) / 20.0)
}

/// The voicing at a frequency (in hertz), in dB, by its knots: see [`voice`].
///
/// Expects knots in ascending order.
pub fn voicing_db(knots: &[(f64, f64)], hertz: f64) -> f64 {
    let after = knots.partition_point(|&(knot, _)| knot <= hertz);
    match (after.checked_sub(1).map(|before| knots[before]), knots.get(after)) {
        (None, None) => 0.0,
        (Some((_, db)), None) | (None, Some(&(_, db))) => db,
        (Some((left, left_db)), Some(&(right, right_db))) => {
            let width = (right / left).ln();
            let t = (hertz / left).ln() / width;
            let (rise, fall) = (slope(knots, after - 1) * width, slope(knots, after) * width);
            let step = right_db - left_db;
            left_db + t * (rise + t * (3.0 * step - 2.0 * rise - fall + t * (rise + fall - 2.0 * step)))
        }
    }
}

/// Slope at a knot, in dB per neper: the harmonic mean of the slopes on both sides, 0 at a turning point and at the ends
/// (Fritsch and Butland 1984), which keeps the cubic between its knots.
fn slope(knots: &[(f64, f64)], at: usize) -> f64 {
    if at == 0 || at + 1 == knots.len() {
        return 0.0;
    }
    let secant = |i: usize| (knots[i + 1].1 - knots[i].1) / (knots[i + 1].0 / knots[i].0).ln();
    let (before, after) = (secant(at - 1), secant(at));
    if before * after <= 0.0 { 0.0 } else { 2.0 * before * after / (before + after) }
}
