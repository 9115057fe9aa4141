//! The table read off a circuit. The presets' own tables were written by hand from their wires.

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{DocumentKind, Library};
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
