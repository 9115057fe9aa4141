//! Documents are read as they are written: guitars, wirings, add-ons, switches, sounds.

use dryfit_dsp::circuit;
use dryfit_dsp::document::{
    Action, AddOn, AssembledKind, Assembly, DocumentKind, Guitar, Library, PartKind, Pot, StringMaterial, Switch,
    SwitchKind, Taper, Wiring,
};

#[path = "documents/sounds.rs"]
mod sounds;

/// The example of `design.md`, section 3, word for word.
const DESIGN_EXAMPLE: &str = r#"format = 1
title = "Bridge-only neck blend"
about = "Master tone; the third knob feeds the neck pickup in under the bridge, in position 1 only."

[selector]
switch = "lever-2-pole-5-position"      # presets/switches/
[pots.volume]
value = "250k"
taper = "audio"
control = "volume"
[pots.tone]
value = "250k"
taper = "audio"
control = "tone"
[pots.blend]
value = "250k"
taper = "audio"
no-load = true                          # open at 10
control = "blend"
[capacitors.tone-cap]
value = "47n"

[wires]                                 # a net per line: every lug in a list is one joint
hot    = ["selector.a", "selector.b", "volume.3", "tone.2"]
bridge = ["bridge.hot", "selector.a1", "selector.a2"]
middle = ["middle.hot", "selector.a3", "selector.b2", "selector.b4"]
neck   = ["neck.hot", "selector.a4", "selector.a5", "blend.1"]
blend  = ["blend.2", "selector.b1"]
tone   = ["tone.1", "tone-cap.1"]
jack   = ["volume.2", "jack.tip"]
ground = ["volume.1", "tone-cap.2", "jack.sleeve", "neck.ground", "middle.ground", "bridge.ground"]
"#;

/// One pickup, a volume and whatever else `more` says.
fn small_wiring(more: &str) -> Wiring {
    let text = format!(
        "format = 1\ntitle = \"small\"\n[pots.volume]\nvalue = \"250k\"\ncontrol = \"volume\"\n{more}\n\
         [wires]\nhot = [\"bridge.hot\", \"volume.3\"]\njack = [\"volume.2\", \"jack.tip\"]\n\
         ground = [\"volume.1\", \"bridge.ground\", \"jack.sleeve\"]\n"
    );
    Wiring::read("small.toml", &text).unwrap_or_else(|problems| panic!("{problems}"))
}

fn pot<'a>(wiring: &'a Wiring, name: &str) -> &'a Pot {
    match &wiring.part(name).expect("the wiring has this part").kind {
        PartKind::Pot(pot) => pot,
        other => panic!("{name} is no pot but {other:?}"),
    }
}

/// Lugs of the joint that `lug` sits on, in alphabetical order.
fn joint_with(wiring: &Wiring, lug: &str) -> Vec<String> {
    let mut joints = wiring.joints.iter().filter(|joint| joint.lugs.iter().any(|other| other == lug));
    let mut lugs = joints.next().unwrap_or_else(|| panic!("{lug} sits on no joint")).lugs.clone();
    assert!(joints.next().is_none(), "{lug} sits on two joints");
    lugs.sort();
    lugs
}

fn close(value: f64, wanted: f64, tolerance: f64) {
    assert!((value - wanted).abs() <= tolerance, "{value} is not {wanted} within {tolerance}");
}

// --- wirings

#[test]
fn the_example_of_the_design_reads_assembles_and_works() {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").unwrap();
    let wiring = Wiring::read("example.toml", DESIGN_EXAMPLE).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(wiring.title, "Bridge-only neck blend");
    assert_eq!(wiring.parts.len(), 5);
    assert_eq!(wiring.joints.len(), 8);
    let assembly = Assembly::new(&wiring, &guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
    let problems = circuit::check(&assembly);
    assert!(!problems.any_error(), "{problems}");
    assert_eq!(assembly.controls.positions, 5);
    assert_eq!(assembly.joints[Assembly::GROUND], "ground");
}

#[test]
fn values_are_si_and_parts_keep_their_line() {
    let wiring = Wiring::read("example.toml", DESIGN_EXAMPLE).unwrap();
    assert_eq!(pot(&wiring, "volume").resistance, 250e3);
    assert!(pot(&wiring, "blend").no_load && !pot(&wiring, "tone").no_load);
    let cap = wiring.part("tone-cap").unwrap();
    assert!(matches!(cap.kind, PartKind::Capacitor { capacitance, .. } if capacitance == 47e-9));
    let line = DESIGN_EXAMPLE.lines().position(|line| line.contains("[capacitors.tone-cap]")).unwrap() + 1;
    assert_eq!((cap.line, cap.file.as_str()), (line, "example.toml"));
}

/// common practice, no source: pots 20 %, capacitors 10 % (`design.md`, section 3), carbon film resistors 5 %.
#[test]
fn tolerances_have_the_usual_defaults_and_can_be_given() {
    let wiring = small_wiring(
        "[pots.tone]\nvalue = \"500k\"\ncontrol = \"tone\"\ntolerance = \"10 %\"\n\
         [capacitors.c]\nvalue = \"22n\"\n[capacitors.tight]\nvalue = \"22n\"\ntolerance = \"1 %\"\n\
         [resistors.r]\nvalue = \"4k7\"",
    );
    assert_eq!(pot(&wiring, "volume").tolerance, 0.2);
    close(pot(&wiring, "tone").tolerance, 0.1, 1e-15);
    let tolerance = |name: &str| match wiring.part(name).unwrap().kind {
        PartKind::Capacitor { tolerance, .. } | PartKind::Resistor { tolerance, .. } => tolerance,
        ref other => panic!("{other:?}"),
    };
    assert_eq!(tolerance("c"), 0.1);
    close(tolerance("tight"), 0.01, 1e-15);
    assert_eq!(tolerance("r"), 0.05);
}

#[test]
fn a_pot_is_an_audio_pot_with_its_whole_track_unless_it_says_otherwise() {
    let wiring = small_wiring("");
    assert_eq!(pot(&wiring, "volume").taper, Taper::Audio);
    assert!(!pot(&wiring, "volume").no_load);
    assert_eq!(wiring.about, "");
}

#[test]
fn labels_sit_where_knobs_says_and_the_others_fill_the_gaps() {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").unwrap();
    let more = "[pots.tone]\nvalue = \"250k\"\ncontrol = \"tone\"\n[capacitors.c]\nvalue = \"22n\"\n\
                [pots.second]\nvalue = \"250k\"\ncontrol = \"second tone\"\n[capacitors.d]\nvalue = \"22n\"\n\
                [knobs]\n3 = \"tone\"";
    let mut wiring = small_wiring(more);
    for (pot, cap) in [("tone", "c"), ("second", "d")] {
        wiring.joints[0].lugs.push(format!("{pot}.2"));
        let joint = wiring.joints[0].clone();
        let lugs = vec![format!("{pot}.1"), format!("{cap}.1")];
        wiring.joints.push(dryfit_dsp::document::Joint { name: format!("{pot}-end"), lugs, ..joint });
        wiring.joints[2].lugs.push(format!("{cap}.2"));
    }
    let assembly = Assembly::new(&wiring, &guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
    let plan = &assembly.controls;
    assert_eq!(plan.knob("volume"), Some(0));
    assert_eq!(plan.knob("second tone"), Some(1));
    assert_eq!(plan.knob("tone"), Some(2));
    assert_eq!(plan.knob("blend"), None);
    let knob_of = |name: &str| match assembly.part(name).unwrap().kind {
        AssembledKind::Pot { knob, .. } => knob,
        ref other => panic!("{other:?}"),
    };
    assert_eq!((knob_of("volume"), knob_of("second"), knob_of("tone")), (0, 1, 2));
}

#[test]
fn two_pots_on_one_control_are_ganged() {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").unwrap();
    let mut wiring = small_wiring("[pots.second]\nvalue = \"250k\"\ncontrol = \"volume\"");
    wiring.joints[0].lugs.push("second.3".into());
    wiring.joints[2].lugs.extend(["second.2".into(), "second.1".into()]);
    let assembly = Assembly::new(&wiring, &guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(assembly.controls.knobs, vec![Some("volume".to_string())]);
}

#[test]
fn a_switch_beside_the_selector_has_its_label_and_its_positions_by_name() {
    let library = Library::presets();
    let assembly = Assembly::read(&library, "five-way-neck-on", "three-single-coils").unwrap();
    assert_eq!(assembly.controls.switch("neck on"), Some(0));
    assert_eq!(assembly.controls.switches[0].1, 2);
    let push_pull = library.switch("push-pull").unwrap();
    assert_eq!(
        (push_pull.position("down"), push_pull.position("up"), push_pull.position("2")),
        (Some(1), Some(2), Some(2))
    );
    assert_eq!((push_pull.position("0"), push_pull.position("3"), push_pull.position("sideways")), (None, None, None));
}

/// A file lies wherever its owner keeps it.
#[test]
fn a_switch_may_be_named_by_a_path_of_any_length() {
    let mut library = Library::presets();
    let path = format!("/home/{}/my switch.toml", "a-long-folder/".repeat(20));
    let (_, text) = library.text(DocumentKind::Switch, "push-pull").unwrap();
    let text = text.to_string();
    library.insert(DocumentKind::Switch, &path, &path, &text);
    let wiring = small_wiring(&format!("[switches.s]\nswitch = \"{path}\"\ncontrol = \"s\""));
    let guitar = library.guitar("three-single-coils").unwrap();
    let assembly = Assembly::new(&wiring, &guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(assembly.controls.switches, [("s".to_string(), 2)]);
}

// --- tapers

/// The mid-point of the standard audio law is 15 % (common practice, no source); by definition of the words, a linear
/// pot halves and a reverse audio pot mirrors.
#[test]
fn standard_tapers_have_their_midpoints() {
    close(Taper::Linear.share(0.5), 0.5, 1e-15);
    close(Taper::Audio.share(0.5), 0.15, 1e-12);
    close(Taper::ReverseAudio.share(0.5), 0.85, 1e-12);
    assert!(Taper::NAMES.iter().all(|name| Taper::named(name).is_some()));
    assert_eq!(Taper::named("logarithmic"), None);
}

#[test]
fn every_taper_runs_from_0_to_1_and_never_falls() {
    let points = Taper::Points(vec![(0.0, 0.0), (0.5, 0.1), (0.5001, 0.1), (1.0, 1.0)]);
    for taper in [Taper::Linear, Taper::Audio, Taper::ReverseAudio, points] {
        close(taper.share(0.0), 0.0, 1e-12);
        close(taper.share(1.0), 1.0, 1e-12);
        assert_eq!((taper.share(-1.0), taper.share(2.0)), (taper.share(0.0), taper.share(1.0)));
        let shares: Vec<f64> = (0..=1000).map(|i| taper.share(f64::from(i) / 1000.0)).collect();
        assert!(shares.windows(2).all(|pair| pair[1] >= pair[0]), "{taper:?} falls somewhere");
    }
}

#[test]
fn reverse_audio_is_audio_turned_round() {
    for i in 0..=100 {
        let travel = f64::from(i) / 100.0;
        close(Taper::ReverseAudio.share(travel), 1.0 - Taper::Audio.share(1.0 - travel), 1e-12);
    }
}

#[test]
fn a_tabulated_taper_is_joined_by_straight_lines_and_flat_beyond_its_ends() {
    let wiring = small_wiring("");
    let text = "format = 1\ntitle = \"t\"\n[change.volume]\ntaper = [[0.1, 0.0], [0.5, 0.2], [0.9, 1]]\n";
    let fitted = AddOn::read("t.toml", text).unwrap().fit(&wiring).unwrap();
    let taper = &pot(&fitted, "volume").taper;
    for (travel, share) in [(0.0, 0.0), (0.1, 0.0), (0.3, 0.1), (0.5, 0.2), (0.7, 0.6), (0.9, 1.0), (1.0, 1.0)] {
        close(taper.share(travel), share, 1e-12);
    }
}

// --- add-ons

#[test]
fn a_treble_bleed_joins_the_two_lugs_of_the_volume() {
    let library = Library::presets();
    let wiring = library.wiring("five-way-master-tone+treble-bleed").unwrap();
    assert_eq!(joint_with(&wiring, "bleed-cap.1"), ["bleed-cap.1", "selector.a", "tone.2", "volume.3"]);
    assert_eq!(joint_with(&wiring, "bleed-cap.2"), ["bleed-cap.2", "jack.tip", "volume.2"]);
    assert_eq!(wiring.title, "Five-way with a master tone + Treble bleed: capacitor alone");
}

#[test]
fn an_add_on_may_bring_joints_of_its_own_and_two_of_one_name_stay_apart() {
    let library = Library::presets();
    let wiring = library.wiring("five-way-master-tone+treble-bleed-series").unwrap();
    assert_eq!(joint_with(&wiring, "bleed-cap.2"), ["bleed-cap.2", "bleed-resistor.1"]);
    let again = "format = 1\ntitle = \"x\"\n[capacitors.x]\nvalue = \"1n\"\n[resistors.y]\nvalue = \"1k\"\n\
                 [join]\n\"volume.1\" = [\"x.1\", \"y.2\"]\n[wires]\nbleed = [\"x.2\", \"y.1\"]\n";
    let twice = AddOn::read("again.toml", again).unwrap().fit(&wiring).unwrap();
    let mut names: Vec<_> = twice.joints.iter().map(|joint| joint.name.as_str()).collect();
    names.sort_unstable();
    assert!(names.windows(2).all(|pair| pair[0] != pair[1]), "two joints share a name: {names:?}");
    assert_eq!(joint_with(&twice, "bleed-cap.2"), ["bleed-cap.2", "bleed-resistor.1"]);
    assert_eq!(joint_with(&twice, "x.2"), ["x.2", "y.1"]);
}

#[test]
fn a_moved_lug_leaves_its_joint_for_the_other() {
    let wiring = Library::presets().wiring("five-way-master-tone+tone-at-wiper").unwrap();
    assert_eq!(joint_with(&wiring, "tone.2"), ["jack.tip", "tone.2", "volume.2"]);
    assert_eq!(joint_with(&wiring, "volume.3"), ["selector.a", "volume.3"]);
}

#[test]
fn an_inserted_part_sits_between_a_lug_and_its_joint() {
    let wiring = Library::presets().wiring("five-way-master-tone+bass-cut").unwrap();
    assert_eq!(joint_with(&wiring, "bass-cap.1"), ["bass-cap.1", "selector.a", "tone.2"]);
    assert_eq!(joint_with(&wiring, "volume.3"), ["bass-cap.2", "volume.3"]);
}

#[test]
fn a_changed_part_keeps_what_is_not_named() {
    let library = Library::presets();
    let wiring = library.wiring("five-way-master-tone+no-load-tone").unwrap();
    let plain = library.wiring("five-way-master-tone").unwrap();
    let wanted = Pot { no_load: true, ..pot(&plain, "tone").clone() };
    assert_eq!(pot(&wiring, "tone"), &wanted);
    let text = "format = 1\ntitle = \"x\"\n[change.tone]\nvalue = \"500k\"\n[change.tone-cap]\nvalue = \"22n\"\n";
    let changed = AddOn::read("x.toml", text).unwrap().fit(&plain).unwrap();
    assert_eq!(pot(&changed, "tone").resistance, 500e3);
    let cap = &changed.part("tone-cap").unwrap().kind;
    assert!(
        matches!(cap, PartKind::Capacitor { capacitance, tolerance } if (*capacitance, *tolerance) == (22e-9, 0.1))
    );
}

#[test]
fn an_add_on_that_needs_a_part_fits_only_where_it_is() {
    let library = Library::presets();
    assert!(library.wiring("five-way-two-tones+tones-at-wiper").is_ok());
    let problems = library.wiring("five-way-neck-blend+tones-at-wiper").unwrap_err();
    println!("{problems}");
    assert_eq!(problems.0.len(), 1);
    assert!(problems.0[0].what.contains("middle-tone"));
    let (_, text) = library.text(DocumentKind::AddOn, "tones-at-wiper").unwrap();
    let line = text.lines().position(|line| line.starts_with("needs")).map(|line| line + 1);
    assert_eq!(problems.0[0].line, line);
}

#[test]
fn steps_are_done_in_the_order_move_insert_join_change() {
    let text = "format = 1\ntitle = \"x\"\n[capacitors.c]\nvalue = \"1n\"\n[change.volume]\nno-load = true\n\
                [join]\n\"volume.3\" = [\"c.1\"]\n[move]\n\"volume.3\" = \"volume.2\"\n";
    let steps = AddOn::read("x.toml", text).unwrap().steps;
    assert!(matches!(steps[0].action, Action::Move { .. }));
    assert!(matches!(steps[1].action, Action::Join { .. }));
    assert!(matches!(steps[2].action, Action::Change { .. }));
}

// --- guitars

fn string(text: &str) -> dryfit_dsp::document::GuitarString {
    let pickup = "distance = [\"40 mm\", \"40 mm\"]\nsensing-width = \"12 mm\"\nwinding = \"clockwise\"\n\
                  magnet = \"north\"\nresistance = \"6k\"\ninductance = \"2.4 H\"\ncapacitance = \"120p\"\n";
    let text = format!(
        "format = 1\ntitle = \"g\"\nscale-length = \"25.5 in\"\n[[strings]]\n{text}\n[pickups.bridge]\n{pickup}"
    );
    Guitar::read("g.toml", &text).unwrap_or_else(|problems| panic!("{problems}")).strings[0].clone()
}

/// ISO 16: A4 is 440 Hz; the others by equal temperament, 440 x 2^(n/12), to the millihertz that tables print.
#[test]
fn pitches_are_those_of_equal_temperament_at_440_hz() {
    for (name, hertz) in [
        ("A4", 440.0),
        ("E2", 82.407),
        ("A2", 110.0),
        ("D3", 146.832),
        ("G3", 195.998),
        ("B3", 246.942),
        ("E4", 329.628),
        ("C4", 261.626),
        ("F#3", 184.997),
        ("Bb1", 58.270),
        ("82.4 Hz", 82.4),
        ("0.11 kHz", 110.0),
    ] {
        let found = string(&format!("pitch = \"{name}\"\ngauge = \"0.010 in\"\nmaterial = \"plain-steel\"")).pitch;
        close(found, hertz, 5e-4); // half of the last digit of the table
    }
}

/// An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
#[test]
fn gauges_read_alike_in_inches_and_millimetres() {
    let gauge = |text: &str| string(&format!("pitch = \"E4\"\ngauge = '{text}'\nmaterial = \"plain-steel\"")).gauge;
    close(gauge("0.010 in"), 0.254e-3, 1e-18);
    close(gauge("0.254 mm"), 0.254e-3, 1e-18);
    close(gauge("0.010\""), 0.254e-3, 1e-18);
}

#[test]
fn a_plain_string_is_all_core_and_a_wound_one_two_fifths_unless_it_says_so() {
    let plain = string("pitch = \"E4\"\ngauge = \"0.25 mm\"\nmaterial = \"plain-steel\"");
    assert_eq!((plain.core, plain.material), (plain.gauge, StringMaterial::PlainSteel));
    let wound = string("pitch = \"E2\"\ngauge = \"1.17 mm\"\nmaterial = \"nickel-wound\"");
    close(wound.core, 0.4 * 1.17e-3, 1e-12);
    let given = string("pitch = \"E2\"\ngauge = \"1.17 mm\"\nmaterial = \"steel-wound\"\ncore = \"0.46 mm\"");
    close(given.core, 0.46e-3, 1e-15);
}

#[test]
fn a_pickup_has_a_null_depth_of_14_db_and_no_voicing_unless_it_says_so() {
    let pickup = "distance = [\"40 mm\", \"30 mm\"]\nsensing-width = \"12 mm\"\nwinding = \"counter-clockwise\"\n\
                  magnet = \"south\"\nresistance = \"6k\"\ninductance = \"2.4 H\"\ncapacitance = \"120p\"\n";
    let text = format!(
        "format = 1\ntitle = \"g\"\nscale-length = \"648 mm\"\n[[strings]]\npitch = \"E4\"\ngauge = \"0.010 in\"\n\
         material = \"plain-steel\"\n[[strings]]\npitch = \"E4\"\ngauge = \"0.010 in\"\nmaterial = \"plain-steel\"\n\
         [pickups.bridge]\n{pickup}[pickups.neck]\n{pickup}voicing = [[\"1 kHz\", \"-1 dB\"]]\n\
         [[couplings]]\nbetween = [\"neck\", \"bridge\"]\ncoefficient = 0.01\n"
    );
    let guitar = Guitar::read("g.toml", &text).unwrap_or_else(|problems| panic!("{problems}"));
    let bridge = guitar.pickup("bridge").unwrap();
    assert_eq!((bridge.null_depth_db, bridge.output_db, bridge.voicing.len()), (-14.0, 0.0, 0));
    assert_eq!((bridge.coil.eddy_resistance, bridge.coil.plate.clone()), (None, None));
    assert_eq!((bridge.hum_sign(), bridge.signal_sign()), (-1.0, 1.0));
    close(bridge.distance(0, 2), 0.04, 1e-15);
    close(bridge.distance(1, 2), 0.03, 1e-15);
    assert_eq!(guitar.pickup("neck").unwrap().voicing, vec![(1000.0, -1.0)]);
    assert_eq!(guitar.couplings[0].coefficient, 0.01);
    assert_eq!(guitar.strings[0].pitch, guitar.strings[1].pitch, "two strings may have one pitch");
}

// --- switches

#[test]
fn a_switch_lists_its_lugs_in_order_and_what_each_position_joins() {
    let lever = Library::presets().switch("lever-5-position").unwrap();
    assert_eq!(lever.kind, SwitchKind::Selector);
    assert_eq!(lever.lugs().collect::<Vec<_>>(), ["a", "a1", "a2", "a3", "b", "b1", "b2", "b3"]);
    assert_eq!(lever.positions[1].joined, [["a", "a1", "a2"], ["b", "b1", "b2"]]);
    let off = Switch::read(
        "x",
        "format = 1\ntitle = \"x\"\nkind = \"toggle\"\npoles = { a = [\"a\", \"b\"] }\n[[positions]]\njoined = []\n",
    );
    assert!(off.unwrap().positions[0].joined.is_empty());
}

// --- how text comes

#[test]
fn windows_line_ends_and_a_byte_order_mark_change_nothing() {
    let plain = Wiring::read("example.toml", DESIGN_EXAMPLE).unwrap();
    let windows = format!("\u{feff}{}", DESIGN_EXAMPLE.replace('\n', "\r\n"));
    assert_eq!(Wiring::read("example.toml", &windows).unwrap(), plain);
}

#[test]
fn text_in_any_language_is_kept() {
    let text = DESIGN_EXAMPLE
        .replace("Bridge-only neck blend", "Blende für den Hals, 首")
        .replace("\"blend\"", "\"Überblendung\"");
    let wiring = Wiring::read("example.toml", &text).unwrap();
    assert_eq!(wiring.title, "Blende für den Hals, 首");
    assert_eq!(pot(&wiring, "blend").control, "Überblendung");
}
