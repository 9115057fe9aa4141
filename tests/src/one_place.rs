//! A guitar on which only the circuit differs between pickups.

use dryfit_dsp::document::{Guitar, Magnet, Winding};

/// The same guitar with every pickup at one place, listening alike, so that the place part of every conversion cancels and
/// what is heard can be held against the solver's curves alone.
pub fn one_place(guitar: &Guitar) -> Guitar {
    /// Nulls so deep that the floor of the sensing model, which every pickup has for itself, plays no part.
    const BOTTOMLESS_DB: f64 = -200.0;
    let mut alike = guitar.clone();
    for pickup in &mut alike.pickups {
        (pickup.distance_low, pickup.distance_high) = (0.05, 0.05);
        (pickup.sensing_width, pickup.null_depth_db, pickup.output_db) = (0.01, BOTTOMLESS_DB, 0.0);
        (pickup.winding, pickup.magnet) = (Winding::Clockwise, Magnet::North);
        pickup.voicing.clear();
    }
    alike
}
