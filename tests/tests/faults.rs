//! The fault finder: a fault that was put in is found from the readings it gives.

use dryfit_dsp::circuit::{Controls, combinations, dc_at_jack, dc_band};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::drawing::{Connection, pictorial};
use dryfit_dsp::faults::{Candidate, FaultFinder, FaultKind, METER_OPEN, Reading, candidates, diagnose, expected};
use dryfit_tests::circuits::{assembly, at};

fn wired(wiring: &str, guitar: &str) -> (Assembly, Vec<Connection>) {
    let assembly = assembly(wiring, guitar);
    let connections = pictorial(&assembly).connections();
    (assembly, connections)
}

/// What a meter reads in every combination with all knobs on 10, and with each knob on 0.
fn readings(of: &Assembly) -> Vec<Reading> {
    let mut all: Vec<Controls> = combinations(&of.controls).collect();
    for knob in 0..of.controls.knobs.len() {
        all.extend(combinations(&of.controls).map(|mut controls| {
            controls.knobs[knob] = 0.0;
            controls
        }));
    }
    all.into_iter()
        .filter_map(|controls| Some(Reading { controls, place: String::new(), ohms: dc_at_jack(of, &controls).ok()? }))
        .collect()
}

/// The requirement itself: for every fault of two presets, synthesised readings rank it, or one that reads the same,
/// first.
#[test]
fn every_single_fault_of_two_wirings_is_ranked_first_by_its_own_readings() {
    for (wiring, guitar) in [("five-way-neck-blend", "three-single-coils"), ("two-pickups-series", "two-single-coils")]
    {
        let (sound, connections) = wired(wiring, guitar);
        let all = candidates(&sound, &connections);
        assert!(all.len() > 40, "only {} faults", all.len());
        let settings: Vec<Controls> = readings(&sound).into_iter().map(|reading| reading.controls).collect();
        let finder = FaultFinder::new(&sound, &connections, &settings);
        for fault in &all {
            let read: Vec<f64> = readings(&fault.assembly).into_iter().map(|reading| reading.ohms).collect();
            let diagnosis = finder.diagnose(&read);
            let best = &diagnosis.suspicions[0];
            let tied = diagnosis.suspicions.iter().take_while(|other| other.misfit <= best.misfit + 0.2);
            let named = tied.into_iter().any(|suspicion| suspicion.faults.contains(&fault.what));
            assert!(named, "{wiring}: {}\nwas taken for {:?}", fault.what, best);
            assert!(best.misfit < 2.0, "{wiring}: {} is explained by {best:?}", fault.what);
        }
    }
}

/// Every wire of the list, every pickup and every capacitor has its fault.
#[test]
fn there_is_a_fault_for_every_wire_pickup_capacitor_and_pair_of_neighbours() {
    let (sound, connections) = wired("five-way-two-tones", "three-single-coils");
    let all = candidates(&sound, &connections);
    let of = |kind: FaultKind| all.iter().filter(move |candidate| candidate.kind == kind);
    assert_eq!(of(FaultKind::Sound).count(), 1);
    // Wires between two cases, of which one carries no lug, change no circuit.
    assert!(of(FaultKind::MissingWire).count() + 3 >= connections.len());
    assert_eq!((of(FaultKind::OpenPickup).count(), of(FaultKind::ShortedPickup).count()), (3, 3));
    assert_eq!(of(FaultKind::ShortedCapacitor).count(), 1);
    // Two poles of four lugs, three pots of three, three pickups and the jack of two, less those that are joined anyway.
    let pairs = 2 * 3 + 3 * 2 + 3 + 1;
    assert!(of(FaultKind::Bridge).count() <= pairs && of(FaultKind::Bridge).count() >= pairs - 2);
    assert!(of(FaultKind::WrongPot).count() >= 3 * 3);
}

/// By hand: with the middle's hot wire missing, position 3 shows the volume's 250 kohm alone.
#[test]
fn a_missing_wire_cuts_off_what_hangs_on_it() {
    let (sound, connections) = wired("five-way-two-tones", "three-single-coils");
    let all = candidates(&sound, &connections);
    let cut = |what: &str| -> &Candidate {
        let found =
            all.iter().find(|candidate| candidate.what.contains(what) && candidate.kind == FaultKind::MissingWire);
        found.unwrap_or_else(|| panic!("no fault {what}"))
    };
    let middle = &cut("middle.hot").assembly;
    assert!((dc_at_jack(middle, &at(3)).unwrap() / 250e3 - 1.0).abs() < 1e-3);
    let before = dc_at_jack(&sound, &at(1)).unwrap();
    assert!((dc_at_jack(middle, &at(1)).unwrap() / before - 1.0).abs() < 1e-9);
    assert!(dc_at_jack(&cut("jack.tip").assembly, &at(1)).unwrap() > METER_OPEN);
    let sleeve = candidates(&sound, &connections).into_iter().find(|candidate| candidate.what.contains("jack.sleeve"));
    assert!(dc_at_jack(&sleeve.unwrap().assembly, &at(1)).unwrap() > METER_OPEN);
}

#[test]
fn a_fault_that_no_reading_shows_comes_with_the_test_that_does() {
    let (sound, connections) = wired("five-way-two-tones", "three-single-coils");
    let readings: Vec<Reading> = readings(&sound);
    let diagnosis = diagnose(&sound, &connections, &readings);
    let best = &diagnosis.suspicions[0];
    assert!(best.kinds.contains(&FaultKind::Sound) && best.misfit < 0.1, "{best:?}");
    // A neck whose leads are swapped reads the same.
    assert!(best.faults.iter().any(|fault| fault.contains("neck.hot and neck.ground is swapped")), "{:?}", best.faults);
}

#[test]
fn readings_that_cannot_tell_two_faults_apart_say_which_test_would() {
    let (sound, connections) = wired("five-way-two-tones", "three-single-coils");
    // Position 1 alone: no reading yet of what the others do.
    let open = Reading { controls: at(1), place: "position 1".into(), ohms: 250e3 };
    let diagnosis = diagnose(&sound, &connections, &[open]);
    let best = &diagnosis.suspicions[0];
    assert!(best.faults.len() > 1 && !best.tests.is_empty(), "{best:?}");
    assert!(best.tests.iter().any(|test| test.starts_with("measure")), "{:?}", best.tests);
}

/// Tolerances are no faults: a guitar whose pots are all 20 % low and whose coils are 5 % high is sound.
#[test]
fn a_guitar_within_its_tolerances_is_sound() {
    use dryfit_dsp::document::AssembledKind;
    let (sound, connections) = wired("five-way-neck-blend", "three-single-coils");
    let mut made = sound.clone();
    for part in &mut made.parts {
        if let AssembledKind::Pot { pot, .. } = &mut part.kind {
            pot.resistance *= 0.85;
        }
    }
    made.guitar.pickups.iter_mut().for_each(|pickup| pickup.coil.resistance *= 1.05);
    let diagnosis = diagnose(&sound, &connections, &readings(&made));
    assert!(diagnosis.suspicions[0].kinds.contains(&FaultKind::Sound), "{:?}", diagnosis.suspicions[0]);
}

/// The band holds what its ends make of it. By hand: one pickup of 6.4 kohm across a volume of 250 kohm, both at their
/// least, is 5.76 k || 200 k.
#[test]
fn the_band_of_a_reading_has_every_part_at_its_end() {
    let (sound, _) = wired("volume-only", "three-single-coils");
    let expected = expected(&sound, &at(1)).unwrap();
    let band = dc_band(&sound, &at(1)).unwrap();
    let parallel = |a: f64, b: f64| a * b / (a + b);
    assert!((expected.ohms / parallel(6.4e3, 250e3) - 1.0).abs() < 1e-3);
    assert!((band.low / parallel(5.76e3, 200e3) - 1.0).abs() < 2e-3, "{band:?}");
    assert!((band.high / parallel(7.04e3, 300e3) - 1.0).abs() < 2e-3, "{band:?}");
}
