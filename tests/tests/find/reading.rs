//! The table read off a circuit. The presets' own tables were written by hand from their wires.

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{Assembly, DocumentKind, Library, Sounds};
use dryfit_dsp::find::{Effect, read_off, read_row};
use dryfit_tests::circuits::{Moved, assembly, at};

use crate::fixtures::assert_same;

#[test]
fn every_preset_wiring_reads_back_as_its_own_table_in_every_combination() {
    let library = Library::presets();
    let mut seen = 0;
    for name in library.names(DocumentKind::Sounds) {
        let guitar = if name.starts_with("two") { "two-single-coils" } else { "three-single-coils" };
        let wiring = assembly(name, guitar);
        let back = read_off(&wiring).sounds(&wiring).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_same(&library.sounds(name).unwrap(), &back, &wiring, name);
        seen += 1;
    }
    assert_eq!(seen, 14);
}

#[test]
fn a_bass_cut_in_the_way_of_everything_carries_the_sound() {
    let wiring = assembly("five-way-two-tones+bass-cut", "three-single-coils");
    assert_eq!(read_row(&wiring, &at(2)).words, "bridge + middle");
}

#[test]
fn knobs_are_read_as_if_the_others_stood_on_10() {
    let wiring = assembly("five-way-neck-blend", "three-single-coils");
    let turned = at(1).knob(&wiring, "volume", 0.0).knob(&wiring, "blend", 3.0);
    let (row, upright) = (read_row(&wiring, &turned), read_row(&wiring, &at(1)));
    assert_eq!((&row.words, &row.knobs), (&upright.words, &upright.knobs));
    assert_eq!(row.knobs, [Effect::Volume, Effect::Tone, Effect::Blend(2)]);
}

#[test]
fn a_series_pair_beside_a_pickup_is_read_in_the_words_of_the_table() {
    let wiring = assembly("five-way-outer-pair-series", "three-single-coils");
    let up = |position: u8| -> Controls { at(position).switch(&wiring, "series", 2) };
    assert_eq!(read_row(&wiring, &up(5)).words, "bridge in series with neck");
    assert_eq!(read_row(&wiring, &up(4)).words, "middle + bridge in series with neck");
}

#[test]
fn a_table_that_is_written_reads_back_as_the_same() {
    let library = Library::presets();
    for name in library.names(DocumentKind::Sounds) {
        let table = library.sounds(name).unwrap();
        let back = Sounds::read("written", &table.to_text()).unwrap_or_else(|problems| panic!("{name}: {problems}"));
        assert_eq!((&back.positions, &back.title, &back.about), (&table.positions, &table.title, &table.about));
        let wiring = assembly(name, if name.starts_with("two") { "two-single-coils" } else { "three-single-coils" });
        assert_same(&table, &back, &wiring, name);
        assert_same(&back, &table, &wiring, name);
    }
}

/// Two toggles as on a staircase: either alone changes the pickup, both together change it back.
#[test]
fn switches_that_undo_each_other_are_read_as_they_stand_together() {
    let text = r#"format = 1
title = "Staircase"
[switches.one]
switch = "toggle-on-on-2-pole"
control = "one"
[switches.two]
switch = "toggle-on-on-2-pole"
control = "two"
[wires]
hot = ["one.a", "jack.tip"]
straight = ["one.a1", "two.a"]
crossed = ["one.a2", "two.b"]
bridge = ["bridge.hot", "two.a1", "two.b2"]
neck = ["neck.hot", "two.a2", "two.b1"]
ground = ["bridge.ground", "neck.ground", "jack.sleeve"]
"#;
    let mut library = Library::presets();
    library.insert(DocumentKind::Wiring, "staircase", "staircase", text);
    let guitar = library.guitar("three-single-coils").unwrap();
    let wiring = Assembly::read_on(&library, "staircase", &guitar).unwrap_or_else(|problems| panic!("{problems}"));
    let table = read_off(&wiring).sounds(&wiring).unwrap();
    let switch = |label: &str| (label.to_string(), "up".to_string());
    for (moved, sound) in [
        (vec![], "bridge"),
        (vec![switch("one")], "neck"),
        (vec![switch("two")], "neck"),
        (vec![switch("one"), switch("two")], "bridge"),
    ] {
        for table in [&table, &Sounds::read("written", &table.to_text()).unwrap()] {
            assert_eq!(table.sound(1, &moved).unwrap().to_string(), sound, "{moved:?}");
        }
    }
}
