//! `dryfit calibrate --blind POSITION=FILE`: takes as they were played.

use dryfit_dsp::document::Guitar;
use dryfit_tests::following::{changes, guitar, recording, takes};
use dryfit_tests::ground_truth::SAMPLE_RATE;

use super::bench::{Bench, err};

const SEED: u64 = 64;

/// A bench with a line across all strings as `line.wav` and strummed chords as `chords.wav`, both with the bridge pickup.
fn recorded() -> Bench {
    let (bench, guitar) = (Bench::empty(), guitar());
    let (change, played) = (changes(&guitar).remove(0), takes(&guitar, SEED));
    for (name, at) in [("line.wav", 2), ("chords.wav", 5)] {
        bench.take(name, SAMPLE_RATE, &[recording(&change, &played[at], 1)]);
    }
    bench
}

#[test]
fn a_take_makes_a_document_with_what_it_shows_and_says_what_it_does_not_show() {
    let bench = recorded();
    let asked = "calibrate -o mine.toml --blind bridge=line.wav --blind bridge=chords.wav --distance neck=160mm";
    let told = err(&bench.dryfit(asked).success());
    for words in [
        "line.wav: 16 notes, 16 used",
        "G3 string: ",
        "bridge: distance",
        "neck: in no pass",
        "middle: it does not sound in what was recorded",
        "--distance middle=LOW,HIGH",
    ] {
        assert!(told.contains(words), "`{words}` is not in\n{told}");
    }
    // What a ruler told is not asked for again.
    assert!(!told.contains("--distance neck"), "{told}");
    let text = String::from_utf8(bench.bytes("mine.toml")).unwrap();
    let found = Guitar::read("mine.toml", &text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let truth = guitar();
    // The bound of the order for a calibration by passes.
    assert!((found.pickups[0].distance_low - truth.pickups[0].distance_low).abs() < 1.5e-3, "{text}");
    assert_eq!(found.pickups[1].distance_low, truth.pickups[1].distance_low);
    assert!(text.contains("# recordings: +- "), "{text}");
    bench.dryfit("render line.wav -o out.wav --guitar ./mine.toml --follow live").success();
}

#[test]
fn chords_alone_are_told_to_be_too_few_notes_and_nothing_is_written() {
    let bench = recorded();
    let told = err(&bench.dryfit("calibrate -o mine.toml --blind bridge=chords.wav").code(1));
    for words in ["chords.wav: warning: only", "chords alone do not tell", "worse than a ruler's"] {
        assert!(told.contains(words), "`{words}` is not in\n{told}");
    }
    assert!(!bench.listing().contains(&"mine.toml".to_string()));
}

#[test]
fn a_take_without_its_position_is_told_how_to_be_written() {
    let bench = recorded();
    let told = err(&bench.dryfit("calibrate -o mine.toml --blind line.wav").code(1));
    assert!(
        told.contains("`--blind line.wav` names no position") && told.contains("write --blind POSITION=FILE"),
        "{told}"
    );
}
