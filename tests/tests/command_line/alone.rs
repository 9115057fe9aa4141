//! `dryfit render --take PICKUP=FILE`: a take of every pickup, mixed through the option's circuit.

use dryfit_dsp::string::performances;
use dryfit_tests::ground_truth::{SAMPLE_RATE, Stand, play};

use super::bench::{Bench, err, out, plucked};
use dryfit_dsp::document::Library;

/// The demo performance, each pickup recorded alone through a wiring, as `bridge.wav` .. in a bench; and the wiring's truth.
fn recorded(wiring: &str, positions: [u8; 3], wanted: &Stand) -> (Bench, Vec<f32>) {
    let guitar = Library::presets().guitar("three-single-coils").unwrap();
    let mut performance = performances::demo();
    performance.notes.retain(|note| note.start < 2.0);
    let played = play(&guitar, &performance, 3);
    let bench = Bench::empty();
    for (pickup, position) in guitar.pickups.iter().zip(positions) {
        let take = Stand::new(wiring, &guitar, position).truth(&played);
        bench.take(&format!("{}.wav", pickup.name), SAMPLE_RATE, &[take]);
    }
    (bench, wanted.truth(&played))
}

/// The guitar's pickups are listed from the bridge on.
const BRIDGE_FIRST: [u8; 3] = [1, 3, 5];
const ALL: &str = "--take bridge=bridge.wav --take middle=middle.wav --take neck=neck.wav";

fn off_by_db(result: &[f32], truth: &[f32]) -> f64 {
    let power = |samples: &mut dyn Iterator<Item = f32>| samples.map(|sample| f64::from(sample).powi(2)).sum::<f64>();
    let error = power(&mut result.iter().zip(truth).map(|(result, truth)| result - truth));
    10.0 * (error / power(&mut truth.iter().copied())).log10()
}

#[test]
fn with_a_take_of_every_pickup_each_option_is_the_truth_sample_by_sample() {
    let guitar = Library::presets().guitar("three-single-coils").unwrap();
    // Parallel, blended, in series and reversed: whatever the place on the string, nothing is estimated.
    for (option, set, stand) in [
        ("five-way-two-tones", "position=4", Stand::new("five-way-two-tones", &guitar, 4)),
        (
            "five-way-neck-blend",
            "position=1 --set blend=5",
            Stand::new("five-way-neck-blend", &guitar, 1).turned("blend", 5.0),
        ),
        ("five-way-middle-reversed", "position=2", Stand::new("five-way-middle-reversed", &guitar, 2)),
        ("five-way-outer-pair-series", "position=3", Stand::new("five-way-outer-pair-series", &guitar, 3)),
    ] {
        let (bench, truth) = recorded("five-way-two-tones", BRIDGE_FIRST, &stand);
        let run =
            bench.dryfit(&format!("render {ALL} -o out.wav --option {option} --set {set} --depth float")).success();
        assert!(out(&run).contains("exact: every pickup that sounds has a take of its own"), "{}", out(&run));
        let (_, result) = bench.result("out.wav");
        let off = off_by_db(&result, &truth);
        // Two filters in a row are within 0.005 dB of the circuits between 80 Hz and 18 kHz (DEVELOPERS.md): -64 dB.
        assert!(off < -60.0, "{option}: {off:.1} dB");
    }
}

#[test]
fn a_lead_with_a_conductor_for_every_pickup_is_a_wiring_like_any_other() {
    let guitar = Library::presets().guitar("three-single-coils").unwrap();
    let stand = Stand::new("five-way-master-tone", &guitar, 2);
    let (bench, truth) = recorded("three-pickups-direct", [1, 2, 3], &stand);
    let arguments =
        "-o out.wav --recorded three-pickups-direct --option five-way-master-tone --set position=2 --depth float";
    let run = bench.dryfit(&format!("render {ALL} {arguments}")).success();
    assert!(err(&run).contains("bridge in position 1, middle in position 2, neck in position 3"), "{}", err(&run));
    let (_, result) = bench.result("out.wav");
    assert!(off_by_db(&result, &truth) < -60.0, "{}", off_by_db(&result, &truth));
}

#[test]
fn every_position_of_every_option_is_made_from_the_same_takes() {
    let bench = Bench::empty();
    for (pickup, seconds) in [("bridge", 0.2), ("middle", 0.25), ("neck", 0.2)] {
        bench.take(&format!("{pickup}.wav"), 48_000, &[plucked(48_000, seconds)]);
    }
    let run = bench.dryfit(&format!("render {ALL} -o results --option five-way-two-tones --each-position")).success();
    assert_eq!(out(&run).lines().count(), 5);
    let lengths = (1..=5).map(|n| bench.result(&format!("results/bridge-five-way-two-tones-position-{n}.wav")).1.len());
    assert!(lengths.into_iter().all(|length| length == 12_000), "as long as the longest take");
}

#[test]
fn what_does_not_fit_together_is_said_all_at_once_and_nothing_is_written() {
    let bench = Bench::empty();
    bench.take("bridge.wav", 48_000, &[plucked(48_000, 0.1)]);
    bench.take("middle.wav", 44_100, &[plucked(44_100, 0.1)]);
    let before = bench.listing();
    let takes = "--take bridge=bridge.wav --take middle=middle.wav --take neckk=bridge.wav --take bridge=bridge.wav";
    let option = "--option five-way-two-tones --set position=5";
    let run = bench.dryfit(&format!("render {takes} -o out.wav {option} --recorded-set position=2")).code(1);
    for said in [
        "no pickup `neckk`; did you mean `neck`?",
        "two takes of the bridge pickup",
        "different sample rates, 48000 Hz and 44100 Hz",
        "neck sounds too, and has no take",
        "--take neck=FILE",
        "leave position= out of --recorded-set",
    ] {
        assert!(err(&run).contains(said), "`{said}` in\n{}", err(&run));
    }
    assert_eq!(bench.listing(), before);
    bench.dryfit("render bridge.wav --take bridge=bridge.wav -o out.wav --option volume-only").code(1);
    bench.dryfit("render --take bridge -o out.wav").code(2);
}

#[test]
fn a_take_is_never_overwritten() {
    let bench = Bench::empty();
    bench.take("bridge.wav", 48_000, &[plucked(48_000, 0.1)]);
    let before = bench.bytes("bridge.wav");
    let option = "--option five-way-two-tones --overwrite";
    bench.dryfit(&format!("render --take bridge=bridge.wav -o bridge.wav {option}")).code(1);
    assert_eq!(bench.bytes("bridge.wav"), before);
}
