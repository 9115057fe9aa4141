//! `dryfit calibrate --take POSITION=FILE`: recordings.

use dryfit_dsp::document::Guitar;
use dryfit_tests::calibration::{guitar, performance, recording};
use dryfit_tests::ground_truth::SAMPLE_RATE;
use predicates::prelude::*;
use predicates::str::contains;

use super::bench::{Bench, err};

const SEED: u64 = 301;

/// A bench with a recording of a guitar in each of these positions, as `1.wav` ..
fn recorded(positions: &[u8]) -> Bench {
    let (bench, truth) = (Bench::empty(), guitar(SEED));
    for &position in positions {
        let seed = SEED + u64::from(position);
        let take = recording(&truth.guitar, &performance(seed, 0.0), position, seed, -70.0);
        bench.take(&format!("{position}.wav"), SAMPLE_RATE, &[take]);
    }
    bench
}

#[test]
fn recordings_make_a_document_with_the_uncertainty_beside_every_figure_and_pictures_of_the_combs() {
    let bench = recorded(&[1, 2]);
    let asked = "calibrate -o mine.toml --take bridge=1.wav --take bridge+middle=2.wav --plots combs";
    let run = bench.dryfit(asked).success();
    let told = err(&run);
    for words in
        ["recorded with", "1.wav: 24 notes, 2", "E2 string: ", "stiffness", "bridge: distance", "neck: in no pass"]
    {
        assert!(told.contains(words), "`{words}` is not in\n{told}");
    }
    let text = String::from_utf8(bench.bytes("mine.toml")).unwrap();
    let found = Guitar::read("mine.toml", &text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let truth = guitar(SEED);
    for (found, truth) in found.pickups.iter().zip(&truth.guitar.pickups).take(2) {
        // The order's bound.
        assert!((found.distance_low - truth.distance_low).abs() < 1.5e-3, "{found:?}");
        assert!((found.distance_high - truth.distance_high).abs() < 1.5e-3, "{found:?}");
    }
    // What was not recorded stays.
    assert_eq!(found.pickups[2], truth.described.pickups[2]);
    assert!(text.contains("# recordings: +- ") && text.contains("voicing = [["), "{text}");
    for picture in ["combs/1-1.svg", "combs/2-2.svg"] {
        let svg = String::from_utf8(bench.bytes(picture)).unwrap();
        assert!(
            svg.starts_with("<svg") && svg.matches("<circle").count() > 100 && svg.contains("G3 string"),
            "{picture}"
        );
    }
    bench.dryfit("check mine.toml").success();
    bench.dryfit("render -o out.wav --guitar ./mine.toml --follow live").success();
}

#[test]
fn a_recording_in_another_position_is_told_and_nothing_is_written_from_it_alone() {
    let bench = recorded(&[5]);
    let run = bench.dryfit("calibrate -o mine.toml --take bridge=5.wav --distance bridge=46mm,36mm").code(1);
    let told = err(&run);
    assert!(told.contains("5.wav: warning: it sounds like position 5 (neck)"), "{told}");
    assert!(told.contains("worse than a ruler's"), "{told}");
    assert_eq!(bench.listing(), ["5.wav"]);
}

#[test]
fn recordings_that_are_named_wrong_are_all_told_at_once() {
    let bench = Bench::with_take();
    let wrong = "calibrate -o mine.toml --take take.wav --take 9=take.wav --take neck+bridge=take.wav --take neck=gone.wav \
                 --recorded-set position=2";
    let told = err(&bench.dryfit(wrong).code(1));
    for words in [
        "names no position",
        "no position `9`",
        "no position `neck+bridge`",
        "2 (bridge+middle)",
        "gone.wav",
        "leave position= out",
    ] {
        assert!(told.contains(words), "`{words}` is not in\n{told}");
    }
    assert_eq!(bench.listing(), ["take.wav"]);
}

#[test]
fn a_recording_is_never_written_over() {
    let bench = Bench::with_take();
    let before = bench.bytes("take.wav");
    bench.dryfit("calibrate -o take.wav --take bridge=take.wav --overwrite").code(1);
    assert_eq!(bench.bytes("take.wav"), before);
    let run = bench.dryfit("calibrate -o mine.toml --take bridge=take.wav").code(1);
    run.stderr(contains("only").and(contains("notes of this guitar")));
}
