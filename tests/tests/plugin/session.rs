use dryfit_dsp::conversion::Controls;
use dryfit_dsp::document::{DocumentKind, Library, ProblemKind};
use dryfit_dsp::units::Series;
use dryfit_plugin::session::{Bench, Project, TrayPart};

fn first_run() -> (Project, Library) {
    let library = Library::presets();
    (Project::first_run(&library), library)
}

#[test]
fn the_first_run_is_right_and_says_what_it_assumes() {
    let (project, _) = first_run();
    assert_eq!(project.clone().checked().as_ref(), Ok(&project));
    let said = project.assumption().unwrap();
    for word in ["three single coils", "five-way", "bridge", "10", "500p", "1M"] {
        assert!(said.contains(word), "{said}");
    }
}

#[test]
fn every_preset_wiring_for_three_pickups_can_be_put_on_a_bench() {
    let (project, library) = first_run();
    let names: Vec<_> = library.names(DocumentKind::Wiring).map(str::to_string).collect();
    assert!(names.len() > 10);
    for name in names {
        project.with_wiring(Bench::B, &name, &library).unwrap_or_else(|problems| panic!("{name}: {problems}"));
    }
}

/// Documents, not names: every text that a wiring needs is in the project.
#[test]
fn a_project_needs_no_library_to_sound() {
    let (project, library) = first_run();
    let project = project.with_wiring(Bench::A, "two-pickups-series+treble-bleed", &library).unwrap();
    let nothing = Library::default();
    let value = project.with_value(Bench::A, "bleed-cap", "680p").unwrap();
    assert!(value.assemble(Bench::A).is_ok());
    let text = project.bench(Bench::A).wiring.text.replace("Series", "series");
    assert!(project.with_text(Bench::A, "mine", &text, &nothing).is_ok());
}

#[test]
fn a_wrong_text_leaves_the_project_as_it_is_and_says_where_it_is_wrong() {
    let (project, library) = first_run();
    let before = project.clone();
    let text = project.bench(Bench::A).wiring.text.replace("\"jack.tip\"", "\"jack.top\"");
    let problems = project.with_text(Bench::A, "mine", &text, &library).unwrap_err();
    assert!(problems.has(ProblemKind::UnknownLug));
    let line = text.lines().position(|line| line.contains("jack.top")).unwrap() + 1;
    assert!(problems.0.iter().any(|problem| problem.line == Some(line) && problem.file == "mine"));
    assert_eq!(project, before);
}

#[test]
fn anything_can_be_pasted_into_the_document_box() {
    let (project, library) = first_run();
    let long = "[".repeat(100_000);
    for text in ["", "lots", "\0\u{feff}", "format = 1", "format = 99", "[wires]\nhot = 3", &long, "hot = [\"a.b\"]"] {
        assert!(project.with_text(Bench::A, "pasted", text, &library).is_err());
    }
}

#[test]
fn a_value_that_is_none_is_refused_in_place() {
    let (project, _) = first_run();
    for value in ["lots", "", "-22n", "22k", "1e99n", "NaN", "22,5n"] {
        let problems = project.with_value(Bench::A, "tone-cap", value).unwrap_err();
        assert_eq!(problems.0[0].part.as_deref(), Some("tone-cap"), "{value}");
    }
    assert!(project.with_value(Bench::A, "no-such-part", "22n").is_err());
    assert!(project.with_value(Bench::A, "selector", "22n").is_err());
}

#[test]
fn copy_and_swap_do_what_they_say_and_the_tray_goes_with_its_bench() {
    let (project, _) = first_run();
    let project = project.with_value(Bench::A, "tone-cap", "22n").unwrap();
    let project = project.with_tray_part(Bench::A, TrayPart::Part("tone-cap".into())).unwrap();
    let swapped = project.swapped().unwrap();
    assert_eq!(swapped.benches, [project.benches[1].clone(), project.benches[0].clone()]);
    assert_eq!(swapped.tray.bench, Bench::B);
    assert_eq!(swapped.swapped().unwrap(), project);
    let copied = project.copied(Bench::A).unwrap();
    assert_eq!(copied.bench(Bench::B), project.bench(Bench::A));
}

/// IEC 60063: E6 is 10 15 22 33 47 68.
#[test]
fn the_tray_lays_out_preferred_values_between_limits_or_typed_ones() {
    let (project, _) = first_run();
    let project = project.with_tray_part(Bench::A, TrayPart::Part("tone-cap".into())).unwrap();
    assert!(project.tray.values.contains(&"47n".to_string()), "{:?}", project.tray.values);
    let limited = project.with_tray_series(Series::E6, Some((9e-9, 101e-9))).unwrap();
    assert_eq!(limited.tray.values, ["10n", "15n", "22n", "33n", "47n", "68n", "100n"]);
    let typed = project.with_tray_values("4n7, 22n;  33n\n100n").unwrap();
    assert_eq!(typed.tray.values, ["4n7", "22n", "33n", "100n"]);
    assert!(project.with_tray_values("22n lots").is_err());
    assert!(project.with_tray_values(&"22n ".repeat(25)).is_err());
    assert!(project.with_empty_tray().with_tray_values("22n").is_err());
}

#[test]
fn the_tray_takes_pots_cables_and_inputs_too_and_lets_go_of_a_part_that_is_gone() {
    let (project, library) = first_run();
    let pot = project.with_tray_part(Bench::A, TrayPart::Part("volume".into())).unwrap();
    assert!(pot.tray.values.contains(&"220k".to_string()), "{:?}", pot.tray.values);
    let cable = project.with_tray_part(Bench::B, TrayPart::Cable).unwrap();
    assert!(cable.tray.values.contains(&"470p".to_string()), "{:?}", cable.tray.values);
    assert!(project.with_tray_part(Bench::B, TrayPart::Input).is_ok());
    assert!(project.with_tray_part(Bench::A, TrayPart::Part("selector".into())).is_err());
    let blend = project.with_tray_part(Bench::A, TrayPart::Part("blend".into())).unwrap();
    let without = blend.with_wiring(Bench::A, "volume-only", &library).unwrap();
    assert_eq!(without.tray.part, None);
}

#[test]
fn add_ons_are_fitted_and_taken_out_and_their_values_go_with_them() {
    let (project, library) = first_run();
    let fitted = project.with_add_on(Bench::A, "treble-bleed", true, &library).unwrap();
    let fitted = fitted.with_value(Bench::A, "bleed-cap", "680p").unwrap();
    let out = fitted.with_add_on(Bench::A, "treble-bleed", false, &library).unwrap();
    assert_eq!(out, project);
    assert!(project.with_add_on(Bench::A, "no-such-add-on", true, &library).is_err());
}

#[test]
fn a_take_that_cannot_have_been_recorded_so_is_refused() {
    let (project, library) = first_run();
    let mut silent = Controls::default();
    silent.knobs[0] = 0.0;
    // A volume at 0 is a floor of 1 ohm, some 100 dB down: poor, but no silence.
    let quiet = project.with_recorded_controls(silent).unwrap();
    assert!(!quiet.recorded.assumed && quiet.assumption().is_none());
    assert!(project.with_guitar("two-single-coils", &library).is_err(), "the wirings join a middle pickup");
    let as_b = project.recorded_as(Bench::B, Controls::default()).unwrap();
    assert_eq!(as_b.recorded.setup, project.benches[1]);
}
