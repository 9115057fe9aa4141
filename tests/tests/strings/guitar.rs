//! Guitars to measure with.

use dryfit_dsp::document::{Coil, Guitar, GuitarString, Magnet, Pickup, StringMaterial, Winding};
use proptest::prelude::*;

/// Scale length of the guitars here, in metres.
pub const SCALE: f64 = 0.648;

/// Standard tuning in equal temperament on 440 Hz: pitch, gauge and core of an ordinary set (common practice, no source).
const STRINGS: [(f64, f64, f64); 6] = [
    (82.407, 1.17e-3, 0.43e-3),
    (110.0, 0.91e-3, 0.38e-3),
    (146.832, 0.66e-3, 0.35e-3),
    (195.998, 0.43e-3, 0.43e-3),
    (246.942, 0.33e-3, 0.33e-3),
    (329.628, 0.254e-3, 0.254e-3),
];

/// A string of that pitch, gauge and core; plain when its core is as thick as itself.
pub fn string(pitch: f64, gauge: f64, core: f64) -> GuitarString {
    let material = if core < gauge { StringMaterial::NickelWound } else { StringMaterial::PlainSteel };
    GuitarString { pitch, gauge, core, material, inharmonicity: None }
}

/// A pickup across all strings at one distance from the bridge, in metres.
pub fn pickup(distance: f64) -> Pickup {
    Pickup {
        name: format!("at {distance} m"),
        distance_low: distance,
        distance_high: distance,
        sensing_width: 0.012,
        null_depth_db: -14.0,
        output_db: 0.0,
        voicing: Vec::new(),
        winding: Winding::Clockwise,
        magnet: Magnet::North,
        grounded_cover: false,
        coil: Coil { resistance: 5.7e3, inductance: 2.2, capacitance: 110e-12, eddy_resistance: None, plate: None },
    }
}

/// Six strings under these pickups.
pub fn guitar(pickups: Vec<Pickup>) -> Guitar {
    Guitar {
        title: "a guitar to measure with".into(),
        about: String::new(),
        scale_length: SCALE,
        strings: STRINGS.map(|(pitch, gauge, core)| string(pitch, gauge, core)).to_vec(),
        pickups,
        couplings: Vec::new(),
    }
}

/// Bridge (slanted), middle and neck at their usual places.
pub fn three_single_coils() -> Guitar {
    guitar(vec![Pickup { distance_high: 0.036, ..pickup(0.046) }, pickup(0.1), pickup(0.16)])
}

prop_compose! {
    /// Guitars that nobody builds but that a document may describe.
    pub fn odd_guitar()(
        count in 1_usize..9,
        scale_length in 0.2_f64..1.2,
        lowest in 20.0_f64..200.0,
        interval in 1.0_f64..9.0,
        thickest in 0.3e-3_f64..2e-3,
        core_share in 0.3_f64..1.0,
        share in 0.01_f64..0.5,
        sensing_width in 0.0_f64..0.05,
        null_depth_db in -60.0_f64..0.0,
        output_db in -20.0_f64..20.0,
        knots in prop::collection::vec(-20.0_f64..20.0, 0..4),
    ) -> Guitar {
        let strings = (0..count).map(|s| {
            let gauge = thickest * 0.8_f64.powi(s as i32);
            let pitch = lowest * 2.0_f64.powf(interval * s as f64 / 12.0);
            string(pitch, gauge, if s < 4 { gauge * core_share } else { gauge })
        });
        let voicing = knots.iter().enumerate().map(|(i, &db)| (100.0 * 4.0_f64.powi(i as i32), db)).collect();
        let distance = share * scale_length;
        let odd = Pickup { sensing_width, null_depth_db, output_db, voicing, ..pickup(distance) };
        let pickups = vec![Pickup { distance_high: 0.5 * distance, ..odd.clone() }, pickup(1.5 * distance)];
        Guitar { scale_length, strings: strings.collect(), ..guitar(pickups) }
    }
}
