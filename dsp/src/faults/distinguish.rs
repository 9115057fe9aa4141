//! A test that comes out differently with one fault than with another.

use super::reading::{METER_OPEN, shown};
use crate::circuit::{Controls, ON_DB, combinations, dc_at_jack, describe, levels};
use crate::document::Assembly;
use crate::units::{self, Quantity, db_to_amplitude};

/// Readings that differ by more than this tell two faults apart whatever the tolerances, as a logarithm: 25 %.
const CLEAR: f64 = 0.223;
/// Below this nothing is heard at all, in volts per volt: -60 dB.
const SILENT: f64 = 1e-3;

/// Names of the pickups that are heard when they are tapped with a screwdriver, with an amplifier at the jack.
pub fn heard(assembly: &Assembly, controls: &Controls) -> Vec<String> {
    let Ok(levels) = levels(assembly, controls) else { return Vec::new() };
    let strongest = levels.iter().copied().fold(0.0, f64::max);
    let least = (strongest * db_to_amplitude(ON_DB)).max(SILENT);
    let pickups = assembly.guitar.pickups.iter().zip(levels);
    pickups.filter(|(_, level)| *level >= least).map(|(pickup, _)| pickup.name.clone()).collect()
}

/// The test that tells two circuits apart most clearly: a further reading if there is one, else a tap test.
pub(super) fn separating_test(one: &Assembly, other: &Assembly) -> Option<String> {
    reading(one, other).or_else(|| tap(one, other))
}

fn reading(one: &Assembly, other: &Assembly) -> Option<String> {
    let mut best: Option<(f64, String)> = None;
    for (controls, turned) in settings(one) {
        let (Ok(a), Ok(b)) = (dc_at_jack(one, &controls), dc_at_jack(other, &controls)) else { continue };
        let apart = (shown(a) / shown(b)).ln().abs();
        if apart > CLEAR && best.as_ref().is_none_or(|(most, _)| apart > *most + 1e-9) {
            let place = describe(one, &controls);
            let test = format!("measure {place}{turned}: {} or {}", written(a), written(b));
            best = Some((apart, test));
        }
    }
    best.map(|(_, test)| test)
}

fn tap(one: &Assembly, other: &Assembly) -> Option<String> {
    for (controls, turned) in settings(one) {
        let (a, b) = (heard(one, &controls), heard(other, &controls));
        if a != b {
            let place = describe(one, &controls);
            return Some(format!("tap the pickups {place}{turned}: {} or {}", spoken(&a), spoken(&b)));
        }
    }
    None
}

/// Every combination with all knobs on 10, then with one of them on 0, then on 5.
fn settings(assembly: &Assembly) -> Vec<(Controls, String)> {
    let all = combinations(&assembly.controls);
    let mut settings: Vec<(Controls, String)> =
        all.map(|controls| (controls, " with all knobs on 10".into())).collect();
    for turn in [0.0, 5.0] {
        for (knob, label) in assembly.controls.knobs.iter().enumerate() {
            let Some(label) = label else { continue };
            for mut controls in combinations(&assembly.controls) {
                controls.knobs[knob] = turn;
                settings.push((controls, format!(" with {label} on {turn} and other knobs on 10")));
            }
        }
    }
    settings
}

/// A reading as a meter shows it.
fn written(ohms: f64) -> String {
    match ohms {
        ohms if ohms >= METER_OPEN => "open".into(),
        ohms if ohms < 5.0 => "a short".into(),
        ohms => units::write(units::significant(ohms, 2), Quantity::Resistance),
    }
}

fn spoken(pickups: &[String]) -> String {
    if pickups.is_empty() { "nothing is heard".into() } else { format!("{} heard", pickups.join(" and ")) }
}
