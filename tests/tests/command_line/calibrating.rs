//! `dryfit calibrate`: ruler and meter.

use dryfit_dsp::document::{DocumentKind, Guitar, Library, StringMaterial};
use predicates::prelude::*;
use predicates::str::contains;

use super::bench::{Bench, err};

const RULER: &str = "--distance bridge=47mm,37.5mm --distance middle=101mm --distance neck=6.25in";

fn written(bench: &Bench, name: &str) -> (String, Guitar) {
    let text = String::from_utf8(bench.bytes(name)).unwrap();
    let guitar = Guitar::read(name, &text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    (text, guitar)
}

#[test]
fn a_ruler_and_a_meter_make_a_guitar_document_with_the_source_beside_every_figure() {
    let bench = Bench::empty();
    let meter = "--resistance neck=5.92k --resonance neck=570p:3.94kHz,2300p:2.09kHz";
    let run = bench.dryfit(&format!("calibrate -o mine.toml {RULER} {meter} --scale-length 25.5in")).success();
    assert!(err(&run).contains("bridge: distance 47 mm | 37.5 mm, ruler"), "{}", err(&run));
    let (text, guitar) = written(&bench, "mine.toml");
    assert!((guitar.scale_length - 0.6477).abs() < 1e-9);
    let places = guitar.pickups.iter().map(|pickup| (pickup.distance_low, pickup.distance_high));
    let wanted = [(0.047, 0.0375), (0.101, 0.101), (0.15875, 0.15875)];
    for ((low, high), wanted) in places.zip(wanted) {
        // Written with four digits.
        assert!((low - wanted.0).abs() < 1e-4 && (high - wanted.1).abs() < 1e-4, "{low} {high} {wanted:?}");
    }
    assert!(text.contains("resistance = \"5.92k\"    # meter"), "{text}");
    assert!(text.contains("# resonance with 570p at 3.94 kHz and 2.3n at 2.09 kHz"), "{text}");
    assert_eq!(text.matches("# ruler").count(), 4, "{text}");
    // What was not measured is as it was in the preset.
    let preset = Library::presets().guitar("three-single-coils").unwrap();
    assert_eq!(guitar.strings, preset.strings);
    assert_eq!(guitar.pickups[0].coil, preset.pickups[0].coil);
    bench.dryfit("check mine.toml").success();
    bench.dryfit("curve --option five-way-two-tones --guitar ./mine.toml --points 3").success();
}

#[test]
fn gauges_and_tuning_go_to_the_strings_and_stiffness_follows() {
    let bench = Bench::empty();
    let gauges = "--gauges 0.052in,0.038in,0.028in,0.018in,0.014in,0.011in --plain 2 --tuning D2,G2,C3,F3,A3,D4";
    bench.dryfit(&format!("calibrate -o mine.toml {gauges}")).success();
    let (_, guitar) = written(&bench, "mine.toml");
    let materials: Vec<_> = guitar.strings.iter().map(|string| string.material).collect();
    assert_eq!(
        materials[2..],
        [
            StringMaterial::NickelWound,
            StringMaterial::NickelWound,
            StringMaterial::PlainSteel,
            StringMaterial::PlainSteel
        ][..]
    );
    // ISO 16: A4 is 440 Hz.
    assert!((guitar.strings[4].pitch - 220.0).abs() < 1e-9);
    assert!((guitar.strings[0].gauge - 0.052 * 0.0254).abs() < 1e-6);
    // A wound string's core is a share of its gauge (value of the document reader, from memory).
    assert!((guitar.strings[0].core / guitar.strings[0].gauge - 0.4).abs() < 1e-3);
}

#[test]
fn strings_and_pickups_written_in_one_line_take_comments_too() {
    let bench = Bench::empty();
    bench.write(
        "short.toml",
        r#"format = 1
title = "short"
scale-length = "648 mm"
strings = [{ pitch = "E2", gauge = "1 mm", material = "plain-steel" }, { pitch = "E4", gauge = "0.3 mm", material = "plain-steel" }]
pickups = { bridge = { distance = ["40 mm", "40 mm"], sensing-width = "12 mm", winding = "clockwise", magnet = "north", resistance = "6k", inductance = "2 H", capacitance = "100p" } }
"#,
    );
    let asked = "calibrate -o mine.toml --guitar ./short.toml --distance bridge=42mm,41mm --gauges 0.9mm,0.25mm";
    bench.dryfit(asked).success();
    let (text, guitar) = written(&bench, "mine.toml");
    assert_eq!(guitar.strings.len(), 2, "{text}");
    assert!((guitar.pickups[0].distance_low - 0.042).abs() < 1e-9 && (guitar.strings[1].gauge - 0.25e-3).abs() < 1e-9);
}

#[test]
fn everything_that_makes_no_sense_is_told_at_once_and_nothing_is_written() {
    let bench = Bench::empty();
    let wrong = "--distance bride=46mm --distance neck=46 --distance middle=1mm,2mm,3mm --gauges 0.046in,0.036in \
                 --resonance neck=570p:3.94kHz --resonance bridge=2n --inductance middle=2k --plain 9";
    let run = bench.dryfit(&format!("calibrate -o mine.toml {wrong}")).code(1);
    let told = err(&run);
    for words in [
        "no pickup `bride`; did you mean `bridge`?",
        "`46` has no unit",
        "3 lengths",
        "2 values for 6 strings",
        "1 resonances",
        "no capacitor with a frequency",
        "`k` is no unit of inductance",
        "9 plain strings",
    ] {
        assert!(told.contains(words), "`{words}` is not in\n{told}");
    }
    assert!(told.matches("mend: ").count() >= 8, "{told}");
    assert!(bench.listing().is_empty());
}

#[test]
fn a_document_that_would_not_read_is_not_written() {
    let bench = Bench::empty();
    for wrong in ["--distance neck=700mm", "--scale-length 5mm", "--tuning E2,A2,D3,G3,B3,H4"] {
        bench.dryfit(&format!("calibrate -o mine.toml {wrong}")).code(1).stderr(contains("mend: "));
    }
    bench.dryfit("calibrate -o mine.toml").code(1).stderr(contains("nothing was measured or recorded"));
    let impossible = "calibrate -o mine.toml --resonance neck=570p:2kHz,2300p:3kHz";
    bench.dryfit(impossible).code(1).stderr(contains("mixed up").and(contains("neck")));
    assert!(bench.listing().is_empty());
}

#[test]
fn a_document_that_is_there_is_replaced_only_when_asked_for() {
    let bench = Bench::empty();
    bench.write("mine.toml", "precious");
    bench.dryfit(&format!("calibrate -o mine.toml {RULER}")).code(1);
    assert_eq!(bench.bytes("mine.toml"), b"precious");
    bench.dryfit(&format!("calibrate -o mine.toml {RULER} --overwrite")).success();
    // It may be its own base: a second measurement corrects the first.
    bench.dryfit("calibrate -o mine.toml --guitar ./mine.toml --distance neck=158mm --overwrite").success();
    let (text, guitar) = written(&bench, "mine.toml");
    assert!(
        (guitar.pickups[2].distance_low - 0.158).abs() < 1e-9 && (guitar.pickups[1].distance_low - 0.101).abs() < 1e-9
    );
    assert_eq!(text.matches("# ruler").count(), 3, "{text}");
}

#[test]
fn every_preset_guitar_can_be_the_base() {
    let bench = Bench::empty();
    for name in Library::presets().names(DocumentKind::Guitar) {
        bench.dryfit(&format!("calibrate -o {name}.toml --guitar {name} --distance neck=158mm")).success();
    }
}
