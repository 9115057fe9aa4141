//! Where controls stand, in words.

use super::controls::{Controls, Load};
use super::sounding::{ON_DB, sounding};
use crate::document::{AssembledKind, AssembledPart, Assembly};
use crate::units::{self, Quantity};

/// Position with its pickups, knobs and switches: `position 1 (bridge), all knobs on 10`.
pub fn controls(assembly: &Assembly, controls: &Controls) -> String {
    let mut words = Vec::new();
    let on = pickups_on(assembly, controls);
    let on = if on.is_empty() { "silent".into() } else { on.join(" + ") };
    words.push(match assembly.controls.positions {
        1 => on,
        _ => format!("position {} ({on})", controls.position),
    });
    words.extend(knobs(assembly, controls));
    words.extend(switches(assembly, controls));
    words.join(", ")
}

/// Each switch beside the selector with its position: `series up`.
pub fn switches(assembly: &Assembly, controls: &Controls) -> Vec<String> {
    let labels = assembly.controls.switches.iter().enumerate();
    let word = |(index, (label, _)): (usize, &(String, u8))| {
        format!("{label} {}", position_name(assembly, index, controls.switches[index]))
    };
    labels.map(word).collect()
}

/// What the jack drives: `cable 500p, input 1M`.
pub fn load(load: &Load) -> String {
    let cable = units::write(load.cable, Quantity::Capacitance);
    format!("cable {cable}, input {}", units::write(load.input, Quantity::Resistance))
}

/// Part values that differ from those of another copy of the wiring, each with its new value: `tone-cap 22n`.
pub fn changed_parts(before: &Assembly, after: &Assembly) -> Vec<String> {
    let pairs = before.parts.iter().zip(&after.parts);
    let changed = pairs.filter(|(before, after)| value(before) != value(after));
    changed.filter_map(|(_, part)| value(part).map(|value| format!("{} {value}", part.name))).collect()
}

/// Names of the pickups that sound, from the bridge on.
pub fn pickups_on<'a>(assembly: &'a Assembly, controls: &Controls) -> Vec<&'a str> {
    pickups_above(assembly, controls, ON_DB)
}

/// Names of the pickups that are at most `-floor_db` weaker than the strongest, from the bridge on.
pub fn pickups_above<'a>(assembly: &'a Assembly, controls: &Controls, floor_db: f64) -> Vec<&'a str> {
    // A circuit without a solution is told where it is compiled.
    let on = sounding(assembly, controls, floor_db).unwrap_or_default();
    let pickups = assembly.guitar.pickups.iter().zip(on);
    pickups.filter(|(_, on)| *on).map(|(pickup, _)| pickup.name.as_str()).collect()
}

/// Labels of the switches beside the selector that are not in their first positions, each with the name of its position.
pub fn moved<'a>(
    assembly: &'a Assembly,
    switches: &'a [u8; Controls::SWITCHES],
) -> impl Iterator<Item = (&'a str, String)> {
    let stands = assembly.controls.switches.iter().zip(switches).enumerate();
    let moved = stands.filter(|(_, (_, position))| **position > 1);
    moved.map(|(index, ((label, _), &position))| (label.as_str(), position_name(assembly, index, position)))
}

/// Knobs that are not on 10, and that the others are; nothing for a wiring without knobs.
pub fn knobs(assembly: &Assembly, controls: &Controls) -> Vec<String> {
    let labels = assembly.controls.knobs.iter().zip(controls.knobs);
    let labels: Vec<(&String, f64)> = labels.filter_map(|(label, turn)| Some((label.as_ref()?, turn))).collect();
    let turned = labels.iter().filter(|(_, turn)| *turn != 10.0);
    let mut words: Vec<String> = turned.map(|(label, turn)| format!("{label} {turn}")).collect();
    match (labels.len(), words.len()) {
        (0, _) => {}
        (_, 0) => words.push("all knobs on 10".into()),
        (all, turned) if turned < all => words.push("other knobs on 10".into()),
        _ => {}
    }
    words
}

/// What the position of a switch, by its index, is called.
pub fn position_name(assembly: &Assembly, index: usize, position: u8) -> String {
    let switch = assembly.parts.iter().find_map(|part| match &part.kind {
        AssembledKind::Switch { switch, index: Some(other), .. } if *other == index => Some(switch),
        _ => None,
    });
    let position_of = |switch: &crate::document::Switch| {
        switch.positions.get(usize::from(position).checked_sub(1)?).and_then(|position| position.name.clone())
    };
    switch.and_then(position_of).unwrap_or_else(|| position.to_string())
}

fn value(part: &AssembledPart) -> Option<String> {
    match &part.kind {
        AssembledKind::Pot { pot, .. } => Some(units::write(pot.resistance, Quantity::Resistance)),
        AssembledKind::Resistor { resistance, .. } => Some(units::write(*resistance, Quantity::Resistance)),
        AssembledKind::Capacitor { capacitance, .. } => Some(units::write(*capacitance, Quantity::Capacitance)),
        AssembledKind::Switch { .. } | AssembledKind::Pickup(_) | AssembledKind::Jack => None,
    }
}
