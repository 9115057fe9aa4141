//! Dryfit's solver against ngspice: every preset wiring, every combination of selector and switches, four settings of
//! the knobs, 20 Hz to 20 kHz.
//!
//! ngspice gets elements, not documents, so this holds the solver ([`Mna`]) and not the lowering; `presets.rs` holds
//! the lowering, against truth tables by hand. What ngspice answered is kept in `reference/ngspice`: `NAME.cir` is the
//! deck, `NAME.txt` the answer with tool, version, command and date. `DRYFIT_REGENERATE=1` writes both anew.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Once;

use dryfit_dsp::circuit::{self, Controls, Loaded, Mna, combinations};
use dryfit_dsp::document::{Assembly, Coupling, DocumentKind, Guitar, Library, Magnet};
use dryfit_tests::circuits;
use dryfit_tests::ngspice::{self, Circuit, Deck, Sweep};
use num_complex::Complex64;

/// Agreement wanted, in dB: `design.md`, budget "accuracy, solver against ngspice".
const TOLERANCE_DB: f64 = 1e-6;

/// Below this (-148 dB) a voltage is compared as a difference and not as a ratio, in volts per volt. Elimination with
/// some 20 unknowns near 1 V rounds by up to 20 x 2^-53 = 2.2e-15 V in each of the two solvers, however small the
/// result; 1e-6 dB is a ratio of 1.15e-7, so a ratio says something only above 4.4e-15 / 1.15e-7 = 4e-8 V. Nothing that
/// a player hears is so small: what lies below is a pickup that is off.
const SMALL: f64 = 4e-8;

/// Wirings with add-ons, so that parts which no preset wiring has are held too: a bleed, a part in series with the hot.
const WITH_ADD_ONS: [&str; 3] = [
    "five-way-two-tones+treble-bleed-series+tones-at-wiper",
    "five-way-neck-blend+treble-bleed-parallel+bass-cut",
    "two-pickups-series+treble-bleed+no-load-tone",
];

#[test]
fn every_wiring_answers_as_ngspice_did_within_1e_minus_6_db() {
    regenerate_if_asked();
    for name in names() {
        let case = Case::new(&name);
        let stored = case.stored();
        let mut worst = 0f64;
        for (number, controls) in case.controls.iter().enumerate() {
            for (point, &hertz) in stored.hertz.iter().enumerate() {
                for (drive, volts) in case.solve(controls, hertz).into_iter().enumerate() {
                    let reference = stored.volts[number][drive][point];
                    let off_db = off_db(volts, reference);
                    worst = worst.max(off_db);
                    let place = format!("{name}, circuit {}, {}, {hertz} Hz", number + 1, case.deck.drives[drive].0);
                    assert!(off_db <= TOLERANCE_DB, "{place}: {volts} against {reference}, {off_db:e} dB");
                }
            }
            // Volume at 2 is the least there is, some -30 dB; a circuit in which nothing sounded would hold nothing.
            let loudest = stored.volts[number].iter().flatten().map(|volts| volts.norm()).fold(0.0, f64::max);
            assert!(loudest > 1e-2, "{name}, circuit {}: at most {loudest} V", number + 1);
        }
        println!("{name}: {} circuits, at most {worst:.1e} dB off", case.controls.len());
    }
}

#[test]
fn the_stored_decks_are_what_the_exporter_writes_today() {
    regenerate_if_asked();
    for name in names() {
        let case = Case::new(&name);
        let stored = std::fs::read_to_string(case.path("cir"));
        let stored = stored.unwrap_or_else(|error| panic!("{name}: {error}; {REGENERATE}"));
        assert!(stored == case.deck.text(), "{name}: the deck has changed since ngspice answered; {REGENERATE}");
    }
}

#[test]
fn ngspice_answers_today_what_is_stored() {
    regenerate_if_asked();
    if ngspice::version_or_skip("the live comparison with ngspice").is_none() {
        return;
    }
    for name in names() {
        let case = Case::new(&name);
        let fresh = case.run();
        let stored = case.stored();
        assert_eq!(stored.hertz.len(), fresh.hertz.len(), "{name}");
        for (number, (stored, fresh)) in stored.volts.iter().zip(&fresh.volts).enumerate() {
            for (stored, fresh) in stored.iter().flatten().zip(fresh.iter().flatten()) {
                // Another version may order its pivots differently, so rounding may differ, nothing else.
                let off_db = off_db(*fresh, *stored);
                assert!(off_db <= TOLERANCE_DB, "{name}, circuit {}: {fresh} against {stored}", number + 1);
            }
        }
    }
}

#[test]
fn no_reference_is_left_over_from_a_wiring_that_is_gone() {
    regenerate_if_asked();
    let known: Vec<String> = names().iter().flat_map(|name| [format!("{name}.txt"), format!("{name}.cir")]).collect();
    for entry in std::fs::read_dir(folder()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(known.contains(&name), "{name} belongs to no wiring");
    }
}

const REGENERATE: &str = "regenerate with DRYFIT_REGENERATE=1 cargo test -p dryfit-tests --test circuit_ngspice";

/// Writes decks and answers anew, once a run and before any test reads them, when the environment asks for it.
fn regenerate_if_asked() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        if std::env::var_os("DRYFIT_REGENERATE").is_some() {
            let version = ngspice::version().expect("ngspice must be installed to regenerate its answers");
            for name in names() {
                let case = Case::new(&name);
                case.store(&case.run(), &version);
            }
        }
    });
}

/// A wiring with everything that is asked of it.
struct Case {
    name: String,
    assembly: Assembly,
    controls: Vec<Controls>,
    deck: Deck,
}

impl Case {
    fn new(name: &str) -> Self {
        let assembly = circuits::on_guitar(name, &guitar(name));
        let mut controls = Vec::new();
        for mut combination in combinations(&assembly.controls) {
            for knobs in settings(&assembly) {
                combination.knobs = knobs;
                controls.push(combination);
            }
        }
        let lowered = |controls: &Controls| Circuit {
            title: format!("{}, knobs {:?}", circuit::describe(&assembly, controls), controls.knobs),
            lowered: circuit::lower(&assembly, controls, Loaded::Yes),
        };
        let title = format!("{name}: exported by tests/src/ngspice.rs from the lowered netlists");
        let pickups = assembly.guitar.pickups.iter().enumerate();
        let alone =
            |index: usize| (0..assembly.guitar.pickups.len()).map(|i| f64::from(u8::from(i == index))).collect();
        let mut drives: Vec<_> = pickups.map(|(index, pickup)| (pickup.name.clone(), alone(index))).collect();
        drives.push(("total".into(), assembly.guitar.pickups.iter().map(|pickup| pickup.signal_sign()).collect()));
        let circuits = controls.iter().map(lowered).collect();
        Self { name: name.into(), deck: Deck { title, circuits, drives }, assembly, controls }
    }

    /// The voltage at the jack for each drive: every pickup by itself, then all of them with their signs.
    fn solve(&self, controls: &Controls, hertz: f64) -> Vec<Complex64> {
        let lowered = circuit::lower(&self.assembly, controls, Loaded::Yes);
        let responses = Mna::new(&lowered.netlist).transfer(lowered.jack, hertz).unwrap();
        let drive = |(_, emfs): &(String, Vec<f64>)| responses.iter().zip(emfs).map(|(h, emf)| h * emf).sum();
        self.deck.drives.iter().map(drive).collect()
    }

    fn run(&self) -> Sweep {
        self.deck.run(&Path::new(env!("CARGO_TARGET_TMPDIR")).join("ngspice").join(&self.name))
    }

    fn path(&self, extension: &str) -> PathBuf {
        folder().join(format!("{}.{extension}", self.name))
    }

    fn store(&self, fresh: &Sweep, version: &str) {
        let date = Command::new("date").args(["-u", "+%F"]).output().unwrap();
        let mut text = format!(
            "# Dryfit reference: {}\n# tool: ngspice\n# version: {version}\n# command: ngspice -b {}.cir\n# date: {}\n\
             # {REGENERATE}\n# netlist: {}.cir beside this file\n# volts at the jack, real and imaginary, for {}\n",
            self.name,
            self.name,
            String::from_utf8_lossy(&date.stdout).trim(),
            self.name,
            self.deck
                .drives
                .iter()
                .map(|(name, emfs)| format!("{name} (EMFs {emfs:?})"))
                .collect::<Vec<_>>()
                .join(", "),
        );
        for (circuit, volts) in self.deck.circuits.iter().zip(&fresh.volts) {
            let _ = writeln!(text, "circuit {}", circuit.title);
            for (point, hertz) in fresh.hertz.iter().enumerate() {
                let _ = write!(text, "{hertz:e}");
                for drive in volts {
                    let _ = write!(text, " {:.12e} {:.12e}", drive[point].re, drive[point].im);
                }
                text.push('\n');
            }
        }
        std::fs::create_dir_all(folder()).unwrap();
        std::fs::write(self.path("txt"), text).unwrap();
        std::fs::write(self.path("cir"), self.deck.text()).unwrap();
    }

    fn stored(&self) -> Sweep {
        let text = std::fs::read_to_string(self.path("txt"));
        let text = text.unwrap_or_else(|error| panic!("{}: {error}; {REGENERATE}", self.name));
        let mut sweep = Sweep { hertz: Vec::new(), volts: Vec::new() };
        for line in text.lines().filter(|line| !line.starts_with('#')) {
            if line.starts_with("circuit ") {
                sweep.volts.push(vec![Vec::new(); self.deck.drives.len()]);
                continue;
            }
            let numbers: Vec<f64> = line.split(' ').map(|number| number.parse().unwrap()).collect();
            if sweep.volts.len() == 1 {
                sweep.hertz.push(numbers[0]);
            }
            for (drive, pair) in sweep.volts.last_mut().unwrap().iter_mut().zip(numbers[1..].chunks(2)) {
                drive.push(Complex64::new(pair[0], pair[1]));
            }
        }
        assert_eq!(sweep.hertz.len(), 31, "{}: 20 Hz to 20 kHz, ten points a decade", self.name);
        assert_eq!(sweep.volts.len(), self.controls.len(), "{}: one answer per circuit; {REGENERATE}", self.name);
        sweep
    }
}

/// How far two voltages are apart, phase included, in dB of the larger deviation that their ratio can have.
fn off_db(volts: Complex64, reference: Complex64) -> f64 {
    20.0 * (1.0 + (volts - reference).norm() / reference.norm().max(SMALL)).log10()
}

fn names() -> Vec<String> {
    let library = Library::presets();
    let wirings = library.names(DocumentKind::Wiring).map(str::to_string);
    wirings.chain(WITH_ADD_ONS.map(str::to_string)).collect()
}

/// The guitars differ from wiring to wiring, so that plates, a coil whose signal is reversed, coupled coils and a
/// pickup that hangs on nothing (the middle, in a wiring for two) are all among them.
fn guitar(wiring: &str) -> Guitar {
    let preset = |name: &str| Library::presets().guitar(name).unwrap();
    match wiring {
        "two-pickups" => preset("three-single-coils"),
        "five-way-neck-on" | "volume-only" | "five-way-neck-blend" => preset("three-hotter-single-coils"),
        "five-way-middle-reversed" => {
            let mut guitar = preset("three-single-coils");
            guitar.pickups[1].magnet = Magnet::South;
            guitar
        }
        "five-way-outer-pair-series" => {
            let mut guitar = preset("three-single-coils");
            for (pair, coefficient) in [(["bridge", "middle"], 0.02), (["middle", "neck"], -0.03)] {
                guitar.couplings.push(Coupling { between: pair.map(str::to_string), coefficient });
            }
            guitar
        }
        _ if wiring.starts_with("two") => preset("two-single-coils"),
        _ => preset("three-single-coils"),
    }
}

/// All knobs on 10; the volume on 10 and the rest on 0; two mixtures.
fn settings(assembly: &Assembly) -> [[f64; Controls::KNOBS]; 4] {
    let mut dark = [0.0; Controls::KNOBS];
    if let Some(volume) = assembly.controls.knob("volume") {
        dark[volume] = 10.0;
    }
    [[10.0; Controls::KNOBS], dark, [7.0, 3.0, 5.0, 7.0, 3.0, 5.0], [2.0, 8.5, 1.0, 2.0, 8.5, 1.0]]
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/ngspice")
}
