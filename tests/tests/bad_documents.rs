//! Every wrong document gets one clear message per defect, with its place and a mend, and all of them at once; and no
//! document, however hostile, makes a panic, a hang or a number that is none.
//!
//! Most cases are files in `bad_documents`; `--nocapture` prints every message, to be read as a technician would.

#[path = "bad_documents/expectations.rs"]
mod expectations;
#[path = "bad_documents/random.rs"]
mod random;

use std::fmt::Write;
use std::time::{Duration, Instant};

use dryfit_dsp::circuit::{self, CompiledWiring, Grid};
use dryfit_dsp::document::{
    Assembly, DocumentKind, Guitar, Library, Problem, ProblemKind, Problems, Severity, Sounds, Switch, Wiring,
};
use expectations::{check_folder, problems_of};

#[test]
fn wrong_wirings_get_one_message_per_defect() {
    check_folder(DocumentKind::Wiring, 25);
}

#[test]
fn wrong_guitars_get_one_message_per_defect() {
    check_folder(DocumentKind::Guitar, 4);
}

#[test]
fn wrong_switches_get_one_message_per_defect() {
    check_folder(DocumentKind::Switch, 7);
}

#[test]
fn wrong_add_ons_get_one_message_per_defect() {
    check_folder(DocumentKind::AddOn, 3);
}

#[test]
fn wrong_sounds_tables_get_one_message_per_defect() {
    check_folder(DocumentKind::Sounds, 3);
}

#[test]
fn a_message_has_file_line_severity_place_and_mend_on_two_lines() {
    let text = "format = 1\ntitle = \"x\"\n[pots.volume]\nvalue = \"250q\"\ncontrol = \"volume\"\n[wires]\na = [\"volume.1\"]\n";
    let message = Wiring::read("my-wiring.toml", text).unwrap_err().to_string();
    let wanted = "my-wiring.toml:4: error: volume: `q` in `250q` is no unit of resistance\n    \
                  mend: write it such as \"250k\"";
    assert_eq!(message, wanted);
}

#[test]
fn ten_defects_are_ten_messages() {
    let text = include_str!("bad_documents/wirings/ten-defects.toml");
    let problems = problems_of(DocumentKind::Wiring, "ten-defects", text);
    assert_eq!(problems.0.len(), 10, "{problems}");
}

#[test]
fn a_newer_format_is_said_and_nothing_else() {
    let text = "format = 7\ntitel = 3\n[wires]\nx = \"y\"\n";
    for problems in [
        Wiring::read("x.toml", text).unwrap_err(),
        Guitar::read("x.toml", text).unwrap_err(),
        Switch::read("x.toml", text).unwrap_err(),
        Sounds::read("x.toml", text).unwrap_err(),
    ] {
        assert_eq!(problems.0.len(), 1, "{problems}");
        assert_eq!(problems.0[0].kind, ProblemKind::NewerFormat);
    }
}

#[test]
fn lines_stay_right_behind_windows_line_ends_and_a_byte_order_mark() {
    let plain = include_str!("bad_documents/wirings/units.toml");
    let lines = |text: &str| {
        let problems = problems_of(DocumentKind::Wiring, "units", text);
        problems.0.into_iter().map(|problem| (problem.line, problem.what)).collect::<Vec<_>>()
    };
    assert_eq!(lines(&format!("\u{feff}{}", plain.replace('\n', "\r\n"))), lines(plain));
}

#[test]
fn presets_and_names_that_are_not_there_are_suggested() {
    let library = Library::presets();
    for (problems, near) in [
        (library.wiring("five-way-mastertone").unwrap_err(), "five-way-master-tone"),
        (library.guitar("three-singlecoils").unwrap_err(), "three-single-coils"),
        (library.switch("pushpull").unwrap_err(), "push-pull"),
        (library.sounds("two-pickup").unwrap_err(), "two-pickups"),
    ] {
        println!("{problems}");
        assert!(problems.0[0].what.ends_with(&format!("did you mean `{near}`?")), "{problems}");
    }
    let problems = library.wiring("volume-onyl+treble-bled+bass-cutt").unwrap_err();
    println!("{problems}");
    assert_eq!(problems.0.len(), 3, "wiring and both add-ons are missing: {problems}");
}

#[test]
fn problems_of_every_document_of_an_assembly_come_at_once() {
    let mut library = Library::presets();
    let wiring = "format = 1\ntitle = \"w\"\n[selector]\nswitch = \"mine\"\n[wires]\nhot = [\"jack.tip\", \"bridge.hot\"]\n\
                  ground = [\"jack.sleeve\", \"bridge.ground\", \"nothing.1\"]\n";
    library.insert(DocumentKind::Wiring, "w", "w.toml", wiring);
    library.insert(
        DocumentKind::Switch,
        "mine",
        "mine.toml",
        "format = 1\ntitle = \"s\"\nkind = \"selector\"\npoles = 3\n",
    );
    library.insert(DocumentKind::AddOn, "a", "a.toml", "format = 1\ntitle = \"a\"\n[move]\n\"x.1\" = \"y.1\"\n");
    let problems = Assembly::read(&library, "w+a", "three-single-coils").unwrap_err();
    println!("{problems}");
    let files: Vec<_> = problems.0.iter().map(|problem| (problem.file.as_str(), problem.line)).collect();
    assert_eq!(files, [("a.toml", Some(4)), ("mine.toml", Some(1)), ("mine.toml", Some(4)), ("w.toml", Some(7))]);
}

// --- hostile files: each must be refused, or worked, in a time that nobody notices

/// Ten seconds are far more than any of them takes (0.3 s at most when this was written), even on a busy machine, and
/// far less than a hang.
fn soon<T>(what: &str, work: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let value = work();
    let took = start.elapsed();
    println!("{what}: {took:?}");
    assert!(took < Duration::from_secs(10), "{what} took {took:?}");
    value
}

fn refused(what: &str, kind: ProblemKind, problems: &Problems) -> Problem {
    let problem = problems.0.iter().find(|problem| problem.kind == kind);
    let problem = problem.unwrap_or_else(|| panic!("{what}: {:?}", problems.0.first()));
    println!("{problem}");
    assert_eq!(problem.severity, Severity::Error);
    problem.clone()
}

#[test]
fn a_document_of_more_than_a_megabyte_is_refused_unread() {
    let text = format!("format = 1\n# {}\n", "x".repeat(1_000_000));
    let problems = soon("a large document", || Wiring::read("large.toml", &text).unwrap_err());
    refused("large", ProblemKind::TooLarge, &problems);
    assert_eq!(problems.0.len(), 1);
}

#[test]
fn a_switch_may_have_64_lugs_and_64_positions_and_no_more() {
    let switch = |lugs: usize, positions: usize| {
        let list = |from: usize, to: usize| (from..to).map(|i| format!("\"l{i}\"")).collect::<Vec<_>>().join(", ");
        let mut text =
            format!("format = 1\ntitle = \"s\"\nkind = \"selector\"\npoles = {{ a = [{}]", list(0, lugs / 2));
        writeln!(text, ", b = [{}] }}", list(lugs / 2, lugs)).unwrap();
        text + &"[[positions]]\njoined = [[\"l0\", \"l1\"]]\n".repeat(positions)
    };
    let read = |lugs, positions| soon("a switch", || Switch::read("s.toml", &switch(lugs, positions)));
    assert_eq!(read(64, 64).unwrap().positions.len(), 64);
    for (lugs, positions) in [(66, 5), (8, 65), (20_000, 5), (8, 20_000)] {
        refused("switch", ProblemKind::TooLarge, &read(lugs, positions).unwrap_err());
    }
}

#[test]
fn too_many_parts_joints_lugs_strings_pickups_and_points_are_refused_soon() {
    let wiring = |more: &str| format!("format = 1\ntitle = \"w\"\n{more}");
    let many = |count: usize, line: &dyn Fn(usize) -> String| (0..count).map(line).collect::<String>();
    let parts = wiring(&many(20_000, &|i| format!("[resistors.r{i}]\nvalue = \"1k\"\n")));
    let joints = wiring(&format!("[wires]\n{}", many(20_000, &|i| format!("n{i} = [\"r{i}.1\", \"r{i}.2\"]\n"))));
    let lugs = wiring(&format!("[wires]\na = [{}]\n", many(50_000, &|i| format!("\"r{i}.1\", "))));
    let points = wiring(&format!(
        "[wires]\na = [\"v.1\"]\n[pots.v]\nvalue = \"1k\"\ncontrol = \"v\"\ntaper = [{}]\n",
        many(50_000, &|i| format!("[{}, 0.5],", i as f64 / 50_000.0))
    ));
    for (what, text) in [("parts", parts), ("joints", joints), ("lugs", lugs), ("points", points)] {
        let problems = soon(what, || Wiring::read("w.toml", &text).unwrap_err());
        refused(what, ProblemKind::TooLarge, &problems);
    }
    let strings = wiring(&"[[strings]]\npitch = \"E4\"\n".repeat(20_000));
    let pickups = wiring(&many(10_000, &|i| format!("[pickups.p{i}]\nmagnet = \"north\"\n")));
    for (what, text) in [("strings", strings), ("pickups", pickups)] {
        let problems = soon(what, || Guitar::read("g.toml", &text).unwrap_err());
        refused(what, ProblemKind::TooLarge, &problems);
    }
}

#[test]
fn a_megabyte_of_wrong_keys_long_names_or_deep_lists_is_refused_soon() {
    let long = "n".repeat(400_000);
    let deep = 200_000;
    let keys: String = (0..45_000).map(|i| format!("titel{i} = {i}\n")).collect();
    for (what, text) in [
        ("wrong keys", format!("format = 1\n{keys}")),
        (
            "long names",
            format!("format = 1\ntitle = \"x\"\n[resistors.{long}]\nvalue = \"1k\"\n[wires]\na = [\"{long}m.1\"]\n"),
        ),
        (
            "a long value",
            format!("format = 1\ntitle = \"x\"\n[resistors.r]\nvalue = \"{long}\"\n[wires]\na = [\"r.1\"]\n"),
        ),
        ("deep lists", format!("format = 1\na = {}{}\n", "[".repeat(deep), "]".repeat(deep))),
        ("deep tables", format!("format = 1\na = {}1{}\n", "{a=".repeat(deep), "}".repeat(deep))),
        ("a deep key", format!("format = 1\na{} = 1\n", ".a".repeat(deep))),
        ("a deep heading", format!("format = 1\n[{}a]\n", "a.".repeat(deep))),
        ("many open quotes", "a = \"\n".repeat(100_000)),
        ("nothing but ends of lines", "\n".repeat(900_000)),
    ] {
        let problems = soon(what, || Wiring::read("x.toml", &text).unwrap_err());
        assert!(!problems.0.is_empty() && problems.0.len() <= 500, "{what}: {} problems", problems.0.len());
        println!("{}", problems.0[0]);
        for problem in &problems.0 {
            assert!(problem.what.len() < 400 && problem.mend.len() < 400, "{what}: a message nobody reads: {problem}");
        }
    }
}

/// Switches alone: 256 combinations of the largest switches that fit. Nothing is heard of it, but nothing may hang.
#[test]
fn the_largest_wiring_that_fits_is_compiled_in_bearable_time() {
    let mut library = Library::presets();
    let lugs: Vec<_> = (0..64).map(|i| format!("\"l{i}\"")).collect();
    let positions: String =
        (0..64).map(|i| format!("[[positions]]\njoined = [[\"l0\", \"l{}\"]]\n", i.max(1))).collect();
    let switch =
        format!("format = 1\ntitle = \"s\"\nkind = \"selector\"\npoles = {{ a = [{}] }}\n{positions}", lugs.join(", "));
    library.insert(DocumentKind::Switch, "huge", "huge.toml", &switch);
    let mut text = String::from("format = 1\ntitle = \"w\"\n[selector]\nswitch = \"huge\"\n");
    for i in 0..2 {
        writeln!(text, "[switches.s{i}]\nswitch = \"push-pull\"\ncontrol = \"s{i}\"").unwrap();
    }
    for i in 0..38 {
        writeln!(text, "[resistors.r{i}]\nvalue = \"1k\"").unwrap();
    }
    text += "[wires]\nhot = [\"bridge.hot\", \"jack.tip\", \"selector.l0\", \"r0.1\"]\n";
    for i in 1..38 {
        writeln!(text, "j{i} = [\"r{}.2\", \"r{i}.1\", \"selector.l{i}\"]", i - 1).unwrap();
    }
    text += "ground = [\"bridge.ground\", \"jack.sleeve\", \"r37.2\"]\n";
    library.insert(DocumentKind::Wiring, "huge", "huge.toml", &text);
    let assembly =
        Assembly::read(&library, "huge", "three-single-coils").unwrap_or_else(|problems| panic!("{problems}"));
    let start = Instant::now();
    let problems = circuit::check(&assembly);
    println!("{} problems, checked in {:?}", problems.0.len(), start.elapsed());
    CompiledWiring::new(&assembly, &Grid::up_to(24e3)).unwrap();
    let took = start.elapsed();
    println!("checked and compiled in {took:?}");
    // Bearable for something absurd: a player waits for a plug-in that long, and it ends.
    assert!(took < Duration::from_secs(120), "{took:?}");
}
