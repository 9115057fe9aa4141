//! Every lug that the document joins is reached, and nothing else.

use std::collections::{BTreeMap, BTreeSet};

use dryfit_dsp::document::Assembly;
use dryfit_dsp::drawing::{Drawing, Point, View, pictorial, schematic};

use super::{drawings, presets};

/// Lugs, by name, that hang together in a drawing through its wires; a pot's case is one piece of metal, and in a
/// schematic all earth symbols are one joint.
pub fn joined(drawing: &Drawing) -> BTreeSet<BTreeSet<String>> {
    let key = |at: Point| ((at.x * 100.0).round() as i64, (at.y * 100.0).round() as i64);
    let mut sets: BTreeMap<(i64, i64), usize> = BTreeMap::new();
    let mut count = 0;
    let mut join = |a: (i64, i64), b: (i64, i64)| {
        let mut of = |place| {
            *sets.entry(place).or_insert_with(|| {
                count += 1;
                count
            })
        };
        let (a, b) = (of(a), of(b));
        sets.values_mut().filter(|set| **set == b).for_each(|set| *set = a);
    };
    for wire in &drawing.wires {
        join(key(wire.path[0]), key(wire.path[wire.path.len() - 1]));
    }
    drawing.earths.windows(2).for_each(|pair| join(key(pair[0]), key(pair[1])));
    for part in &drawing.parts {
        let cases: Vec<_> = part.lugs.iter().filter(|lug| lug.name.ends_with(".case")).collect();
        cases.windows(2).for_each(|pair| join(key(pair[0].at), key(pair[1].at)));
    }
    let mut groups: BTreeMap<usize, BTreeSet<String>> = BTreeMap::new();
    for (_, lug) in drawing.lugs().filter(|(_, lug)| !lug.name.ends_with(".case")) {
        if let Some(set) = sets.get(&key(lug.at)) {
            groups.entry(*set).or_default().insert(lug.name.clone());
        }
    }
    groups.into_values().filter(|group| group.len() > 1).collect()
}

/// The same as the document says.
pub fn wanted(assembly: &Assembly) -> BTreeSet<BTreeSet<String>> {
    let mut groups: BTreeMap<usize, BTreeSet<String>> = BTreeMap::new();
    for part in &assembly.parts {
        for (lug, joint) in part.lugs.iter().zip(&part.joints) {
            groups.entry(*joint).or_default().insert(format!("{}.{lug}", part.name));
        }
    }
    groups.into_values().filter(|group| group.len() > 1).collect()
}

#[test]
fn every_wire_of_every_preset_is_there_and_no_other() {
    for (name, assembly) in presets() {
        for drawing in drawings(&assembly) {
            assert_eq!(joined(&drawing), wanted(&assembly), "{name}, {:?}", drawing.view);
        }
    }
}

#[test]
fn every_wire_of_the_pictorial_diagram_carries_its_number() {
    for (name, assembly) in presets() {
        let drawing = pictorial(&assembly);
        let numbers = drawing.texts.iter().filter(|text| text.role == dryfit_dsp::drawing::TextRole::Number);
        let numbers: BTreeSet<String> = numbers.map(|text| text.text.clone()).collect();
        let wanted: BTreeSet<String> = (1..=drawing.wires.len()).map(|number| number.to_string()).collect();
        assert_eq!(numbers, wanted, "{name}");
    }
}

/// Unlike circuits, drawings have no reason to differ.
#[test]
fn two_runs_draw_the_same() {
    for (name, assembly) in presets() {
        assert_eq!(drawings(&assembly), drawings(&assembly.clone()), "{name}");
    }
}

/// Few crossings: what a hand would draw has some ten on a five-way (common practice, no source); 25 is where it begins
/// to tire the eye.
#[test]
fn crossings_stay_few() {
    for (name, assembly) in presets() {
        for drawing in drawings(&assembly) {
            let crossings: usize = drawing.wires.iter().map(|wire| wire.crossings.len()).sum();
            let most = if drawing.view == View::Pictorial { 25 } else { 10 };
            assert!(crossings <= most, "{name}, {:?}: {crossings}", drawing.view);
        }
    }
}

/// A lug carries at most three wires, the pickups and the jack one, where they can be carried on elsewhere (common
/// practice, no source).
#[test]
fn no_lug_of_a_preset_is_crowded() {
    for (name, assembly) in presets() {
        let drawing = pictorial(&assembly);
        for (place, lug) in drawing.lugs() {
            let ends = |wire: &&dryfit_dsp::drawing::Wire| wire.from == Some(place) || wire.to == Some(place);
            let count = drawing.wires.iter().filter(ends).count();
            assert!(count <= 3, "{name}: {count} wires on {}", lug.name);
        }
    }
}

#[test]
fn the_signal_of_a_schematic_runs_from_left_to_right() {
    for (name, assembly) in presets() {
        let drawing = schematic(&assembly);
        let middle = |kind| {
            let parts = drawing.parts.iter().filter(|part| part.kind == kind);
            parts.map(|part| part.bodies[0].middle().x).collect::<Vec<_>>()
        };
        use dryfit_dsp::drawing::DrawnKind::{Jack, Pickup, Selector};
        let (pickups, jack) = (middle(Pickup), middle(Jack)[0]);
        assert!(drawing.parts.iter().all(|part| part.bodies[0].middle().x <= jack), "{name}");
        for selector in middle(Selector) {
            assert!(pickups.iter().all(|&pickup| pickup < selector) && selector < jack, "{name}");
        }
    }
}
