//! What is lit is what sounds.

use dryfit_dsp::circuit::combinations;
use dryfit_dsp::drawing::{DrawnKind, Live, pictorial, schematic};
use dryfit_tests::circuits::{assembly, at};

use super::presets;

fn lit(wiring: &str, guitar: &str, position: u8) -> Vec<String> {
    let assembly = assembly(wiring, guitar);
    let drawing = pictorial(&assembly);
    let live = Live::new(&assembly, &at(position));
    let name = |place| drawing.lug(place).name.clone();
    let lit = drawing.wires.iter().zip(live.wires(&drawing)).filter(|(_, live)| *live);
    let mut lit: Vec<String> = lit
        .flat_map(|(wire, _)| [wire.from, wire.to])
        .flatten()
        .map(name)
        .filter(|name| {
            ["bridge", "middle", "neck", "jack"].iter().any(|part| name.starts_with(part)) && !name.contains("tone")
        })
        .collect();
    lit.sort();
    lit
}

/// From the wires of the preset and the contacts of its lever, by hand.
#[test]
fn the_live_path_begins_at_the_pickups_that_sound_and_ends_at_the_jack() {
    let two_tones = |position| lit("five-way-two-tones", "three-single-coils", position);
    assert_eq!(two_tones(1), ["bridge.hot", "jack.tip"]);
    assert_eq!(two_tones(2), ["bridge.hot", "jack.tip", "middle.hot"]);
    assert_eq!(two_tones(3), ["jack.tip", "middle.hot"]);
    assert_eq!(two_tones(5), ["jack.tip", "neck.hot"]);
    let series = lit("two-pickups-series", "two-single-coils", 4);
    assert_eq!(series, ["bridge.hot", "jack.tip", "neck.ground", "neck.hot"]);
}

/// From the preset by hand: in position 2 the lever puts the neck's lower end on ground, in position 4 on the bridge.
#[test]
fn a_coils_end_that_a_switch_grounds_carries_the_signal_back_and_is_not_live() {
    let wiring = assembly("two-pickups-series", "two-single-coils");
    let end = wiring.joints.iter().position(|joint| joint == "neck-ground").unwrap();
    let live = |position| Live::new(&wiring, &at(position)).joints[end];
    assert!(!live(2) && live(4));
}

#[test]
fn ground_is_never_lit_and_whatever_sounds_lights_the_jack_in_both_drawings() {
    for (name, assembly) in presets() {
        for drawing in [pictorial(&assembly), schematic(&assembly)] {
            for controls in combinations(&assembly.controls) {
                let live = Live::new(&assembly, &controls);
                let wires = live.wires(&drawing);
                let mut lit = drawing.wires.iter().zip(&wires).filter(|(_, live)| **live).map(|(wire, _)| wire);
                assert!(lit.clone().all(|wire| wire.joint != 0), "{name}: ground is lit");
                let jack = drawing.parts.iter().position(|part| part.kind == DrawnKind::Jack).unwrap();
                let at_jack = drawing.parts[jack].lugs[0].at;
                let reaches = lit.any(|wire| wire.path.first() == Some(&at_jack) || wire.path.last() == Some(&at_jack));
                assert!(reaches, "{name}, {:?}, {controls:?}", drawing.view);
            }
        }
    }
}

#[test]
fn one_contact_of_the_ordinary_lever_carries_the_bridge_and_two_lit_wires_hang_on_it() {
    let assembly = assembly("five-way-two-tones", "three-single-coils");
    let drawing = pictorial(&assembly);
    let live = Live::new(&assembly, &at(1));
    let selector = drawing.parts.iter().find(|part| part.kind == DrawnKind::Selector).unwrap();
    let carrying: Vec<_> = selector.contacts.iter().filter(|contact| live.carries(selector, contact)).collect();
    assert_eq!(carrying.len(), 1);
    let names: Vec<&str> = carrying[0].lugs.iter().map(|&lug| selector.lugs[lug].name.as_str()).collect();
    assert_eq!(names, ["selector.a", "selector.a1"]);
}
