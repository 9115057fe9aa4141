//! The presets: every document is read, every wiring does in every combination of its switches what its sounds table
//! and the truth tables below say, every add-on fits where it should.
//!
//! The truth tables are written by hand from the wirings' wires and the switches' contacts. They hold the lowering from
//! documents to a circuit, which `circuit_ngspice.rs` cannot: ngspice gets what the lowering made.

use std::collections::BTreeSet;
use std::path::Path;

use dryfit_dsp::circuit::{self, CompiledWiring, Controls, ElementKind, Grid, Loaded, combinations, lower};
use dryfit_dsp::document::{Assembly, DocumentKind, KnobAction, Library, ProblemKind, Sound, Switch};
use dryfit_dsp::units::amplitude_to_db;
use dryfit_tests::circuits::{Moved, assembly, at, level_db, response, responses};
use dryfit_tests::sounds::unloaded;
use num_complex::Complex64;

/// Guitars that carry every pickup a wiring names.
fn guitars(wiring: &str) -> &'static [&'static str] {
    match wiring {
        "two-pickups" | "two-pickups-series" | "volume-only" => {
            &["two-single-coils", "three-single-coils", "three-hotter-single-coils"]
        }
        _ => &["three-single-coils", "three-hotter-single-coils"],
    }
}

fn wirings() -> Vec<String> {
    Library::presets().names(DocumentKind::Wiring).map(str::to_string).collect()
}

// Reading

#[test]
fn every_file_under_presets_is_a_document_that_is_read_without_a_problem() {
    let library = Library::presets();
    let mut count = 0;
    for kind in DocumentKind::ALL {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../presets").join(kind.folder());
        let file = |entry: std::io::Result<std::fs::DirEntry>| entry.unwrap().file_name().into_string().unwrap();
        let on_disk: BTreeSet<String> = std::fs::read_dir(folder).unwrap().map(file).collect();
        let known: BTreeSet<String> = library.names(kind).map(|name| format!("{name}.toml")).collect();
        assert_eq!(on_disk, known, "{kind:?}");
        for name in library.names(kind) {
            let problems = match kind {
                DocumentKind::Guitar => library.guitar(name).err(),
                DocumentKind::Wiring => library.wiring(name).err(),
                DocumentKind::AddOn => library.add_on(name).err(),
                DocumentKind::Switch => library.switch(name).err(),
                DocumentKind::Sounds => library.sounds(name).err(),
            };
            assert!(problems.is_none(), "{}", problems.unwrap());
            count += 1;
        }
    }
    assert!(count >= 3 + 10 + 13 + 8 + 12, "only {count} presets");
}

#[test]
fn every_wiring_on_every_guitar_passes_the_check_in_every_combination() {
    // Neck on, pulled up in position 4: lever and push-pull both put the neck on the hot joint. Harmless, and wanted.
    let expected = [("five-way-neck-on", ProblemKind::SwitchLoop)];
    for name in wirings() {
        for guitar in guitars(&name) {
            let problems = circuit::check(&assembly(&name, guitar));
            let kinds: Vec<_> = problems.0.iter().map(|problem| (name.as_str(), problem.kind)).collect();
            let wanted: Vec<_> = expected.into_iter().filter(|(wiring, _)| *wiring == name).collect();
            assert_eq!(kinds, wanted, "{name} on {guitar}: {problems}");
        }
    }
}

#[test]
fn a_middle_that_is_reverse_wound_with_reverse_polarity_cancels_hum_and_keeps_the_signal() {
    let library = Library::presets();
    let signs = |guitar: &str| -> Vec<(f64, f64)> {
        let guitar = library.guitar(guitar).unwrap();
        guitar.pickups.iter().map(|pickup| (pickup.signal_sign(), pickup.hum_sign())).collect()
    };
    assert_eq!(signs("three-hotter-single-coils"), [(1.0, 1.0), (1.0, -1.0), (1.0, 1.0)]);
    assert_eq!(signs("three-single-coils"), [(1.0, 1.0); 3]);
    assert_eq!(signs("two-single-coils"), [(1.0, 1.0); 2]);
}

// Switches

#[test]
fn the_ordinary_lever_bridges_neighbouring_throws_in_its_in_between_positions() {
    let lever = Library::presets().switch("lever-5-position").unwrap();
    let throws: [&[u8]; 5] = [&[1], &[1, 2], &[2], &[2, 3], &[3]];
    assert_eq!(contacts(&lever), throws.map(|throws| expected_contacts(&["a", "b"], throws)));
}

#[test]
fn every_other_switch_joins_one_throw_a_position_or_none_where_it_is_off() {
    for (name, poles, throws) in [
        ("lever-3-position", &["a", "b"][..], vec![1, 2, 3]),
        ("lever-2-pickup-4-position", &["a", "b"], vec![1, 2, 3, 4]),
        ("lever-2-pole-5-position", &["a", "b"], vec![1, 2, 3, 4, 5]),
        ("lever-4-pole-5-position", &["a", "b", "c", "d"], vec![1, 2, 3, 4, 5]),
        ("toggle-on-on-1-pole", &["a"], vec![1, 2]),
        ("toggle-on-on-2-pole", &["a", "b"], vec![1, 2]),
        ("push-pull", &["a", "b"], vec![1, 2]),
        ("toggle-on-off-on-1-pole", &["a"], vec![1, 0, 2]),
        ("toggle-on-off-on-2-pole", &["a", "b"], vec![1, 0, 2]),
    ] {
        let wanted: Vec<_> = throws
            .into_iter()
            .map(|throw| if throw == 0 { Vec::new() } else { expected_contacts(poles, &[throw]) })
            .collect();
        assert_eq!(contacts(&Library::presets().switch(name).unwrap()), wanted, "{name}");
    }
}

fn contacts(switch: &Switch) -> Vec<Vec<Vec<String>>> {
    switch.positions.iter().map(|position| position.joined.clone()).collect()
}

fn expected_contacts(poles: &[&str], throws: &[u8]) -> Vec<Vec<String>> {
    let group = |pole: &&str| {
        let lugs = throws.iter().map(|throw| format!("{pole}{throw}"));
        std::iter::once(pole.to_string()).chain(lugs).collect()
    };
    poles.iter().map(group).collect()
}

// Lowering, element by element

#[test]
fn position_2_of_the_ordinary_five_way_is_the_netlist_that_one_draws_by_hand() {
    let wiring = assembly("five-way-two-tones", "three-single-coils");
    let controls = at(2).knob(&wiring, "volume", 5.0).knob(&wiring, "middle tone", 0.0);
    let netlist = lower(&wiring, &controls, Loaded::Yes).netlist;
    let mut lines: Vec<String> = netlist
        .elements()
        .iter()
        .map(|element| {
            let mut ends = [&netlist.nodes()[element.a], &netlist.nodes()[element.b]];
            ends.sort();
            let value = match element.kind {
                ElementKind::Resistor(ohms) => format!("{:.1} ohm", ohms),
                ElementKind::Capacitor(farads) => format!("{:.1} pF", farads * 1e12),
                ElementKind::Inductor(henries) => format!("{henries} H"),
                ElementKind::Source(index) => format!("EMF {index}"),
                ElementKind::Coupling { mutual, .. } => format!("{mutual} H mutual"),
            };
            format!("{} {} {value}", ends[0], ends[1])
        })
        .collect();
    lines.sort();
    // Lever in position 2: a joins a1 and a2, b joins b1 and b2. So bridge and middle are on the hot joint, and the
    // middle tone is; the neck and its tone hang. Volume at 5, audio: 15 % of 250k below the wiper. Middle tone at 0:
    // 1 ohm between wiper (on hot) and lug 1 (on the capacitor), the whole track to lug 3.
    let mut wanted = [
        "bridge-emf ground EMF 0",
        "bridge-emf bridge-wire 6400.0 ohm",
        "bridge-wire hot 2.6 H",
        "bridge-wire hot 500000.0 ohm",
        "ground hot 130.0 pF",
        "ground middle-emf EMF 1",
        "middle-emf middle-wire 5900.0 ohm",
        "hot middle-wire 2.25 H",
        "hot middle-wire 600000.0 ohm",
        "ground hot 115.0 pF",
        "ground neck-emf EMF 2",
        "neck-emf neck-wire 5800.0 ohm",
        "neck neck-wire 2.2 H",
        "neck neck-wire 600000.0 ohm",
        "ground neck 110.0 pF",
        "ground jack 37500.0 ohm",
        "hot jack 212500.0 ohm",
        "hot tone 1.0 ohm",
        "hot middle-tone.3 250000.0 ohm",
        "neck-tone tone 250000.0 ohm",
        "neck-tone neck-tone.3 1.0 ohm",
        "ground tone 47000.0 pF",
        "ground jack 500.0 pF",
        "ground jack 1000000.0 ohm",
    ]
    .map(str::to_string);
    wanted.sort();
    assert_eq!(lines, wanted);
}

// Sounds

/// Everything is on or off, and in parallel or in series, at a frequency where coils are resistors: 2.6 H is 327 ohm.
const LOW_HERTZ: f64 = 20.0;
/// How far a response may be from what coils without any load give: pots, tone capacitors and input are at least 85k
/// at 20 Hz (250k, 1M and two tones of 250k + 170k), which takes at most 15 % from a series pair of 15k; the next
/// possible sound is at least 0.33 away (half against a third is told by the number of pickups that sound).
const LOADED: f64 = 0.15;
/// A pickup that is off has less than this; the trace that a plain blend leaves is 0.025.
const OFF: f64 = 0.03;

#[track_caller]
fn assert_sounds(name: &str, assembly: &Assembly, controls: &Controls, sound: &Sound) {
    let measured = responses(assembly, controls, LOW_HERTZ);
    for ((pickup, wanted), measured) in
        assembly.guitar.pickups.iter().zip(unloaded(&assembly.guitar, sound)).zip(measured)
    {
        let place = format!("{name} {}: {} {measured:.3}", circuit::describe(assembly, controls), pickup.name);
        if wanted == 0.0 {
            assert!(measured.norm() < OFF, "{place} should be off");
        } else {
            assert!(
                (measured - wanted).norm() < LOADED * wanted.abs().max(OFF / LOADED),
                "{place}, wanted {wanted:.3}"
            );
        }
    }
}

#[test]
fn every_wiring_sounds_as_its_sounds_table_says_with_knobs_at_10_and_switches_down() {
    let library = Library::presets();
    let mut seen = 0;
    for name in wirings().iter().filter(|name| name.as_str() != "volume-only") {
        let sounds = library.sounds(name).unwrap_or_else(|problems| panic!("{problems}"));
        for guitar in guitars(name) {
            let wiring = assembly(name, guitar);
            assert_eq!(sounds.positions.len(), usize::from(wiring.controls.positions), "{name}");
            for (position, sound) in (1..).zip(&sounds.positions) {
                assert_sounds(name, &wiring, &at(position), sound);
                seen += 1;
            }
        }
    }
    assert_eq!(seen, 2 * 10 * 5 + 3 * (3 + 4) + 4 * 3);
}

/// By hand: what each position sounds like with the second switch in its second position.
const UP: [(&str, &str, [&str; 5]); 3] = [
    (
        "five-way-middle-reversed",
        "middle reversed",
        ["bridge", "bridge + reversed middle", "reversed middle", "neck + reversed middle", "neck"],
    ),
    (
        "five-way-neck-on",
        "neck on",
        ["bridge + neck", "bridge + middle + neck", "middle + neck", "middle + neck", "neck"],
    ),
    (
        "five-way-outer-pair-series",
        "series",
        ["bridge", "bridge + middle", "middle", "neck in series with bridge + middle", "neck in series with bridge"],
    ),
];

#[test]
fn every_switch_pulled_up_gives_the_sounds_of_its_truth_table() {
    for (name, switch, sounds) in UP {
        for guitar in guitars(name) {
            let wiring = assembly(name, guitar);
            for (position, sound) in (1..).zip(sounds) {
                let sound = Sound::parse(sound).unwrap();
                let up = [(switch.to_string(), "up".to_string())];
                let written = Library::presets().sounds(name).unwrap().sound(position, &up).cloned();
                assert!(written.is_some_and(|written| written.same_as(&sound)), "{name}, {switch} up, {position}");
                assert_sounds(name, &wiring, &at(position).switch(&wiring, switch, 2), &sound);
            }
        }
    }
    let switched = |name: &String| !assembly(name, guitars(name)[0]).controls.switches.is_empty();
    let with_switches: Vec<String> = wirings().into_iter().filter(switched).collect();
    assert_eq!(with_switches, UP.map(|(name, _, _)| name.to_string()), "every wiring with a switch has a table");
}

#[test]
fn a_volume_alone_carries_the_bridge_and_nothing_else() {
    for guitar in guitars("volume-only") {
        assert_sounds("volume-only", &assembly("volume-only", guitar), &at(1), &Sound::parse("bridge").unwrap());
    }
}

// Knobs

/// How much a knob changes what is heard from 10 to 0, in dB, at a frequency.
fn change_db(assembly: &Assembly, base: &Controls, label: &str, hertz: f64) -> f64 {
    level_db(assembly, &base.knob(assembly, label, 0.0), hertz) - level_db(assembly, base, hertz)
}

/// Largest change of any pickup's response from 10 to 0, in volts per volt.
fn touched(assembly: &Assembly, base: &Controls, label: &str) -> f64 {
    let turned = base.knob(assembly, label, 0.0);
    let at = |hertz: f64| responses(assembly, base, hertz).into_iter().zip(responses(assembly, &turned, hertz));
    [LOW_HERTZ, 1e3, 5e3].into_iter().flat_map(at).map(|(a, b): (Complex64, _)| (a - b).norm()).fold(0.0, f64::max)
}

#[test]
fn every_knob_does_what_its_sounds_table_says_there_and_nowhere_else() {
    let library = Library::presets();
    for name in wirings().iter().filter(|name| name.as_str() != "volume-only") {
        let sounds = library.sounds(name).unwrap();
        let wiring = assembly(name, guitars(name)[0]);
        let labels: Vec<&str> = wiring.controls.knobs.iter().flatten().map(String::as_str).collect();
        let wished: Vec<&str> = sounds.knobs.iter().map(|wish| wish.label.as_str()).collect();
        assert_eq!(labels, wished, "{name}: knobs in the order of the guitar");
        for wish in &sounds.knobs {
            for position in 1..=wiring.controls.positions {
                let (base, label) = (at(position), wish.label.as_str());
                let place = format!("{name}, {label} in position {position}");
                if !wish.positions.contains(&position) {
                    let touched = touched(&wiring, &base, label);
                    // A hanging track of 1 ohm is 1 S that has to cancel beside the 1e-5 S of the rest: 2^-53 / 1e-5.
                    assert!(touched < 1e-10, "{place} should do nothing, not {touched:e}");
                    continue;
                }
                match &wish.action {
                    KnobAction::Volume => assert!(change_db(&wiring, &base, label, 500.0) < -90.0, "{place}"),
                    // 47n against 250k and the coil's 75k at 5 kHz: some 20 dB, at least half of it in every position.
                    KnobAction::Tone => {
                        assert!(change_db(&wiring, &base, label, 5e3) < -10.0, "{place}");
                        assert!(change_db(&wiring, &base, label, LOW_HERTZ).abs() < 1.0, "{place} takes bass");
                    }
                    KnobAction::Nothing => panic!("{place}: a preset says what its knobs do"),
                    KnobAction::Blend { pickup } => {
                        let fed =
                            |turn: f64| response(&wiring, &base.knob(&wiring, label, turn), pickup, LOW_HERTZ).norm();
                        let (off, half, on) = (fed(10.0), fed(5.0), fed(0.0));
                        assert!(off < OFF && half > off && on > half && on > 0.3, "{place}: {off} {half} {on}");
                    }
                }
            }
        }
    }
}

#[test]
fn a_blend_at_0_is_the_position_with_the_neck_added() {
    for (name, position, sound) in [
        ("five-way-bridge-only-neck-blend", 1, "bridge + neck"),
        ("five-way-outer-pair-blend", 1, "bridge + neck"),
        ("five-way-neck-blend", 1, "bridge + neck"),
        ("five-way-neck-blend", 2, "bridge + middle + neck"),
    ] {
        let wiring = assembly(name, "three-single-coils");
        assert_sounds(name, &wiring, &at(position).knob(&wiring, "blend", 0.0), &Sound::parse(sound).unwrap());
    }
}

#[test]
fn tones_of_the_neck_on_wiring_follow_the_lever_and_not_the_switch() {
    let wiring = assembly("five-way-neck-on", "three-single-coils");
    for position in 1..=5 {
        let up = at(position).switch(&wiring, "neck on", 2);
        for (label, places) in [("neck tone", &[4, 5][..]), ("middle tone", &[2, 3, 4])] {
            let acts = touched(&wiring, &up, label) > 0.1;
            assert_eq!(acts, places.contains(&position), "{label} in position {position}");
        }
    }
}

#[test]
fn the_knobs_sit_where_the_wirings_say_volume_first() {
    for name in wirings().into_iter().filter(|name| !name.ends_with("-direct")) {
        let wiring = assembly(&name, guitars(&name)[0]);
        assert_eq!(wiring.controls.knob("volume"), Some(0), "{name}");
        assert!(amplitude_to_db(response(&wiring, &at(1), "bridge", LOW_HERTZ).norm()) > -3.0, "{name}");
    }
}

// Add-ons

/// By hand, from the add-ons' abouts: to which wirings they belong.
fn belongs(add_on: &str, wiring: &str) -> bool {
    let master_tone = [
        "five-way-bridge-only-neck-blend",
        "five-way-master-tone",
        "five-way-neck-blend",
        "five-way-outer-pair-blend",
        "two-pickups",
        "two-pickups-series",
    ];
    let two_tones = [
        "five-way-bridge-tone",
        "five-way-middle-reversed",
        "five-way-neck-on",
        "five-way-outer-pair-series",
        "five-way-two-tones",
    ];
    match add_on {
        "bass-cut" | "treble-bleed" | "treble-bleed-parallel" | "treble-bleed-series" => !wiring.ends_with("-direct"),
        "no-load-tone" | "tone-at-wiper" => master_tone.contains(&wiring),
        "no-load-tones" | "tones-at-wiper" => two_tones.contains(&wiring),
        other => panic!("where does the add-on {other} belong?"),
    }
}

#[test]
fn every_add_on_fits_where_it_belongs_and_says_why_not_elsewhere() {
    let library = Library::presets();
    for add_on in library.names(DocumentKind::AddOn) {
        let mut fitted = 0;
        for name in wirings() {
            match library.wiring(&format!("{name}+{add_on}")) {
                Ok(_) => {
                    assert!(belongs(add_on, &name), "{add_on} should not fit {name}");
                    fitted += 1;
                }
                Err(problems) => {
                    assert!(!belongs(add_on, &name), "{add_on} should fit {name}: {problems}");
                    let wanted = [ProblemKind::UnknownPart, ProblemKind::UnknownLug];
                    assert!(problems.0.iter().all(|problem| wanted.contains(&problem.kind)), "{problems}");
                }
            }
        }
        assert!(fitted > 0, "{add_on} fits nothing");
    }
}

#[test]
fn every_wiring_with_an_add_on_that_fits_compiles_and_is_heard_in_every_combination() {
    let library = Library::presets();
    let grid = Grid::up_to(24e3);
    let middle = grid.place(500.0).round() as usize;
    for add_on in library.names(DocumentKind::AddOn) {
        for name in wirings().iter().filter(|name| belongs(add_on, name)) {
            let name = format!("{name}+{add_on}");
            let wiring = assembly(&name, guitars(name.split('+').next().unwrap())[0]);
            let problems = circuit::check(&wiring);
            assert!(problems.0.iter().all(|problem| problem.kind == ProblemKind::SwitchLoop), "{name}: {problems}");
            let mut compiled = CompiledWiring::new(&wiring, &grid).unwrap();
            for controls in combinations(&wiring.controls) {
                let heard = compiled.responses(&controls);
                let loudest = (0..heard.pickups()).map(|pickup| heard.at(pickup, middle).norm()).fold(0.0, f64::max);
                assert!(loudest > 0.1, "{name} {}: {loudest}", circuit::describe(&wiring, &controls));
            }
        }
    }
}

#[test]
fn an_add_on_leaves_the_sounds_of_every_position_as_they_were() {
    let library = Library::presets();
    for add_on in library.names(DocumentKind::AddOn).filter(|&add_on| add_on != "bass-cut") {
        for name in wirings().iter().filter(|name| belongs(add_on, name) && name.as_str() != "volume-only") {
            let fitted = format!("{name}+{add_on}");
            let wiring = assembly(&fitted, guitars(name)[0]);
            for (position, sound) in (1..).zip(&library.sounds(name).unwrap().positions) {
                assert_sounds(&fitted, &wiring, &at(position), sound);
            }
        }
    }
}
