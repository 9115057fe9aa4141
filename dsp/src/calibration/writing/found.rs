//! What recordings found, into a guitar's document.

use toml_edit::{Array, Value};

use super::draft::{Draft, list};
use crate::calibration::figures::{Calibrated, CalibratedPickup, Figure};
use crate::document::Guitar;
use crate::units::{self, Quantity, significant};

/// Writes every figure that recordings determined, with twice its standard deviation beside it. What they did not determine stays.
pub fn write_found(draft: &mut Draft, documented: &Guitar, found: &Calibrated) {
    for (index, string) in found.strings.iter().enumerate().filter(|(_, string)| string.notes > 0) {
        let from = |spread: String| format!("recordings: +- {spread}, {} notes", string.notes);
        let pitch = found.guitar.strings[index].pitch;
        draft.set_string(
            index,
            "pitch",
            units::write(significant(pitch, 6), Quantity::Frequency),
            &from(format!("{:.1} cents", 2.0 * string.cents.sd)),
        );
        let share = 200.0 * string.inharmonicity.sd / string.inharmonicity.value;
        draft.set_string(
            index,
            "inharmonicity",
            significant(string.inharmonicity.value, 3),
            &from(format!("{share:.0} %")),
        );
    }
    for (pickup, found) in documented.pickups.iter().zip(&found.pickups).filter(|(_, found)| found.recorded) {
        write_pickup(draft, &pickup.name, found);
    }
}

fn write_pickup(draft: &mut Draft, name: &str, found: &CalibratedPickup) {
    let twice = |figure: Figure, scale: f64, decimals: usize| format!("{:.decimals$}", 2.0 * scale * figure.sd);
    let [low, high] = found.distances;
    let distances = found.distances.map(|distance| units::write(significant(distance.value, 4), Quantity::Length));
    let from = format!("recordings: +- {} | {} mm", twice(low, 1e3, 1), twice(high, 1e3, 1));
    draft.set_pickup(name, "distance", list(distances), &from);
    let width = units::write(significant(found.sensing_width.value, 3), Quantity::Length);
    let from = format!("recordings: +- {} mm", twice(found.sensing_width, 1e3, 0));
    draft.set_pickup(name, "sensing-width", width, &from);
    let depth = units::write(significant(found.null_depth_db.value, 3), Quantity::Level);
    let from = format!("recordings: +- {} dB", twice(found.null_depth_db, 1.0, 0));
    draft.set_pickup(name, "null-depth", depth, &from);
    if found.reference {
        return;
    }
    let tenth = |level: f64| units::write((10.0 * level).round() / 10.0, Quantity::Level);
    let from = format!("recordings: +- {} dB", twice(found.output_db, 1.0, 1));
    draft.set_pickup(name, "output", tenth(found.output_db.value), &from);
    let knots = found.voicing.iter().map(|(hertz, figure)| {
        let pair: Array = [units::write(*hertz, Quantity::Frequency), tenth(figure.value)].into_iter().collect();
        Value::Array(pair)
    });
    let widest = found.voicing.iter().map(|(_, figure)| 2.0 * figure.sd).fold(0.0, f64::max);
    draft.set_pickup(name, "voicing", list(knots), &format!("recordings: +- {widest:.1} dB at most"));
}
