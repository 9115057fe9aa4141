//! Amplitudes from one hop to the next.

/// How far smoothing follows in a hop: amplitudes rise faster than they fall.
const RISE: f32 = 0.6;
const FALL: f32 = 0.3;

/// Moves a smoothed amplitude towards what it is in the next hop.
pub(in crate::following) fn approach(smoothed: &mut f32, amplitude: f32) {
    *smoothed += if amplitude > *smoothed { RISE } else { FALL } * (amplitude - *smoothed);
}
