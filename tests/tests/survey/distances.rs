//! How far apart positions sound.

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{Assembly, DocumentKind, Library};
use dryfit_dsp::survey::{Distances, Flag, Surveyor, flags};
use dryfit_tests::circuits::{Moved, assembly, on_guitar};

fn distances(assembly: &Assembly, controls: &Controls) -> Distances {
    Surveyor::new(assembly).unwrap().distances(controls)
}

/// Two positions with the bridge alone, then bridge and middle, the middle and the neck.
const DUPLICATE: &str = r#"format = 1
title = "duplicates"
[selector]
switch = "lever-2-pole-5-position"
[pots.volume]
value = "250k"
taper = "audio"
control = "volume"
[wires]
hot = ["selector.a", "selector.b", "volume.3"]
bridge = ["bridge.hot", "selector.a1", "selector.b2", "selector.a3"]
middle = ["middle.hot", "selector.b3", "selector.a4"]
neck = ["neck.hot", "selector.a5"]
jack = ["volume.2", "jack.tip"]
ground = ["volume.1", "jack.sleeve", "bridge.ground", "middle.ground", "neck.ground"]
"#;

fn duplicates() -> Assembly {
    let mut library = Library::presets();
    library.insert(DocumentKind::Wiring, "duplicates", "duplicates", DUPLICATE);
    Assembly::read(&library, "duplicates", "three-single-coils").unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn the_same_sound_is_at_distance_0_and_flagged_and_distance_is_the_same_both_ways() {
    let wiring = duplicates();
    let mut surveyor = Surveyor::new(&wiring).unwrap();
    let (figures, distances) =
        (surveyor.positions(&Controls::default()).unwrap(), surveyor.distances(&Controls::default()));
    let same = distances.between(1, 2).unwrap();
    assert!(same.relative_error < 1e-12 && same.level_db < 1e-9, "{same:?}");
    assert_eq!(distances.nearest(1).map(|(other, _)| other), Some(2));
    assert_eq!(distances.between(1, 4), distances.between(4, 1));
    assert!(flags(&figures, &distances).contains(&Flag::NearDuplicates { first: 1, second: 2 }));
    let others = |flag: &Flag| matches!(flag, Flag::NearDuplicates { first, second } if (*first, *second) != (1, 2));
    assert!(!flags(&figures, &distances).iter().any(others));
}

#[test]
fn loudness_is_matched_before_positions_are_compared() {
    // The same pickup twice, once 6 dB hotter: no circuit differs, so nothing is left once levels are equal.
    let mut guitar = assembly("five-way-two-tones", "three-single-coils").guitar;
    let bridge = guitar.pickups[0].clone();
    guitar.pickups[2] =
        dryfit_dsp::document::Pickup { name: "neck".into(), output_db: bridge.output_db + 6.0, ..bridge };
    let wiring = on_guitar("five-way-master-tone", &guitar);
    let distance = distances(&wiring, &Controls::default()).between(1, 5).unwrap();
    assert!(distance.relative_error < 1e-12 && distance.level_db < 1e-9, "{distance:?}");
    let figures = Surveyor::new(&wiring).unwrap().positions(&Controls::default()).unwrap();
    assert!((figures[4].level_db - 6.0).abs() < 1e-9, "{}", figures[4].level_db);
}

#[test]
fn bridge_and_neck_are_farther_apart_than_either_from_its_own_pair_with_the_middle() {
    // Common practice, no source.
    let distances = distances(&assembly("five-way-master-tone", "three-single-coils"), &Controls::default());
    let error = |a, b| distances.between(a, b).unwrap().relative_error;
    assert!(error(1, 5) > error(1, 2) && error(1, 5) > error(4, 5));
}

#[test]
fn positions_come_closer_when_the_tone_takes_their_treble() {
    let wiring = assembly("five-way-master-tone", "three-single-coils");
    let level = |tone: f64| {
        let controls = Controls::default().knob(&wiring, "tone", tone);
        distances(&wiring, &controls).between(1, 2).unwrap().relative_error
    };
    assert!(level(0.0) < level(10.0));
}

#[test]
fn steps_of_more_than_3_db_to_the_next_position_are_flagged_and_no_others() {
    let mut guitar = assembly("five-way-two-tones", "three-single-coils").guitar;
    guitar.pickups[2].output_db += 12.0;
    let mut surveyor = Surveyor::new(&on_guitar("five-way-master-tone", &guitar)).unwrap();
    let figures = surveyor.positions(&Controls::default()).unwrap();
    let flags = flags(&figures, &surveyor.distances(&Controls::default()));
    let mut flagged = 0;
    for (from, pair) in (1..).zip(figures.windows(2)) {
        let step = pair[1].level_db - pair[0].level_db;
        let told = flags.iter().any(|flag| matches!(flag, Flag::LevelJump { from: place, .. } if *place == from));
        assert_eq!(told, step.abs() > 3.0, "from {from}: {step} dB, {flags:?}");
        flagged += usize::from(told);
    }
    assert!(flagged > 0 && flagged < 4, "{flags:?}");
}

#[test]
fn a_position_beyond_the_last_is_at_no_distance() {
    let distances = distances(&duplicates(), &Controls::default());
    assert_eq!((distances.between(0, 1), distances.between(1, 6), distances.count()), (None, None, 5));
}
