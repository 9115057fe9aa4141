//! DC at the jack of every preset in every combination, by ngspice `.op`: kept in `reference/dc`. The deck is `presets.cir`, the
//! answer `presets.txt` with tool, version, command and date. `DRYFIT_REGENERATE=1` writes both anew.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::Command;
use std::sync::Once;

use dryfit_dsp::circuit::{self, Controls, Loaded, combinations, lower};
use dryfit_dsp::document::{COIL_TOLERANCE, DocumentKind, Library};
use dryfit_dsp::survey::dc_band;
use dryfit_tests::circuits::{Moved, assembly, at};
use dryfit_tests::ngspice::{self, Circuit};
use dryfit_tests::operating_point::{deck, run};

/// Every preset in every combination, with volume and tones on 10 and on 0.
fn cases() -> Vec<(Circuit, f64)> {
    let mut cases = Vec::new();
    // A wiring without pots has no volume to set; it is the bare coil.
    for name in Library::presets().names(DocumentKind::Wiring).filter(|name| !name.ends_with("-direct")) {
        let guitar = if name.starts_with("five") { "three-single-coils" } else { "two-single-coils" };
        let wiring = assembly(name, guitar);
        for combination in combinations(&wiring.controls) {
            let mut tones = combination;
            let labels = wiring.controls.knobs.iter().enumerate();
            for (knob, _) in labels.filter(|(_, label)| label.as_deref().is_some_and(|label| label != "volume")) {
                tones.knobs[knob] = 0.0;
            }
            let volume = combination.knob(&wiring, "volume", 5.0);
            for (words, controls) in [("on 10", combination), ("but volume on 0", tones), ("volume on 5", volume)] {
                let title = format!("{name}, {}, {words}", circuit::describe(&wiring, &controls));
                let lowered = lower(&wiring, &controls, Loaded::No);
                cases.push((Circuit { title, lowered }, dc_band(&wiring, &controls).unwrap().nominal));
            }
        }
    }
    cases
}

fn path(extension: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("reference/dc").join(format!("presets.{extension}"))
}

fn text(cases: &[(Circuit, f64)]) -> String {
    let circuits: Vec<Circuit> = cases.iter().map(|(circuit, _)| circuit.clone()).collect();
    deck("DC at the jack of every preset wiring", &circuits)
}

fn temporary() -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("dc")
}

fn regenerate_if_asked() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        if std::env::var_os("DRYFIT_REGENERATE").is_none() {
            return;
        }
        let version = ngspice::version().expect("ngspice must be installed to regenerate its answers");
        let (cases, date) = (cases(), Command::new("date").arg("+%Y-%m-%d").output().unwrap());
        let deck = text(&cases);
        let ohms = run(&deck, cases.len(), &temporary());
        let date = String::from_utf8_lossy(&date.stdout).trim().to_string();
        let mut answer =
            format!("# {version}, ngspice -b presets.cir, {date}\n# ohms at the jack, one line a circuit\n");
        ohms.iter().for_each(|ohms| _ = writeln!(answer, "{ohms:e}"));
        std::fs::create_dir_all(path("cir").parent().unwrap()).unwrap();
        std::fs::write(path("cir"), deck).unwrap();
        std::fs::write(path("txt"), answer).unwrap();
    });
}

/// `rshunt` at every node: some 20 of 1e15 ohm beside at most 1e6; and twelve printed digits.
const TOLERANCE: f64 = 1e-7;

#[test]
fn dc_at_the_jack_of_every_preset_is_what_ngspice_says() {
    regenerate_if_asked();
    let (cases, stored) = (cases(), std::fs::read_to_string(path("txt")).unwrap());
    let stored: Vec<f64> =
        stored.lines().filter(|line| !line.starts_with('#')).map(|line| line.parse().unwrap()).collect();
    assert_eq!(stored.len(), cases.len());
    for ((circuit, ohms), stored) in cases.iter().zip(stored) {
        assert!((ohms / stored - 1.0).abs() < TOLERANCE, "{}: {ohms} against {stored}", circuit.title);
    }
}

#[test]
fn the_stored_deck_is_what_the_exporter_writes_today_and_ngspice_answers_the_same() {
    regenerate_if_asked();
    let cases = cases();
    let deck = text(&cases);
    assert!(std::fs::read_to_string(path("cir")).unwrap() == deck, "regenerate with DRYFIT_REGENERATE=1");
    if ngspice::version_or_skip("the live DC comparison with ngspice").is_none() {
        return;
    }
    let fresh = run(&deck, cases.len(), &temporary());
    for ((circuit, ohms), fresh) in cases.iter().zip(fresh) {
        assert!((ohms / fresh - 1.0).abs() < TOLERANCE, "{}: {ohms} against {fresh}", circuit.title);
    }
}

#[test]
fn the_band_of_a_pickup_beside_a_volume_is_that_of_two_resistors() {
    let wiring = assembly("volume-only", "two-single-coils");
    let coil = wiring.guitar.pickups[0].coil.resistance;
    // 1 ohm of wiper; at 10 the whole track lies across the coil (textbook).
    let parallel = |coil: f64, pot: f64| 1.0 / (1.0 / (coil + 1.0) + 1.0 / pot);
    let band = dc_band(&wiring, &at(1)).unwrap();
    let dryfit_dsp::document::AssembledKind::Pot { pot, .. } = &wiring.part("volume").unwrap().kind else { panic!() };
    for (found, side) in [(band.low, -1.0), (band.nominal, 0.0), (band.high, 1.0)] {
        let expected = parallel(coil * (1.0 + side * COIL_TOLERANCE), pot.resistance * (1.0 + side * pot.tolerance));
        assert!((found / expected - 1.0).abs() < 1e-6, "{found} against {expected}");
    }
}

#[test]
fn a_volume_at_0_reads_next_to_nothing() {
    // Trade: with the volume down the jack reads a short.
    let wiring = assembly("five-way-two-tones", "three-single-coils");
    let controls: Controls = at(1).knob(&wiring, "volume", 0.0);
    assert!(dc_band(&wiring, &controls).unwrap().high < 2.0);
}
