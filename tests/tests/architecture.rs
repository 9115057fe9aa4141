//! The invariants of the map (`design.md`, section 2), each kept by a test that names the file and line that breaks it.

#[path = "architecture/scan.rs"]
mod scan;

use std::collections::BTreeSet;
use std::path::Path;

use scan::{Breaches, Source, files_under, holds_path, identifiers, modules_named_in, root, sources};

/// Which modules of `dsp` a module may import. Those of [`TOOLS`] may be imported by everybody. `conversion` takes assemblies (as
/// recorded, option), which are values of `document`.
const ARROWS: [(&str, &[&str]); 14] = [
    ("units", &[]),
    ("lanes", &[]),
    ("document", &[]),
    ("circuit", &["document"]),
    ("drawing", &["circuit", "document"]),
    ("faults", &["drawing", "circuit", "document"]),
    ("string", &["document"]),
    ("conversion", &["circuit", "string", "document"]),
    ("filter", &["conversion"]),
    ("following", &["circuit", "string", "document"]),
    ("engine", &["filter", "conversion", "following"]),
    ("find", &["circuit", "document"]),
    ("calibration", &["circuit", "string", "document", "following"]),
    ("survey", &["find", "circuit", "string", "document"]),
];

/// Modules that know nothing of guitars.
const TOOLS: [&str; 2] = ["units", "lanes"];

/// What the client listed for the top level; dot-names may stand beside it, and `target` is built.
const TOP_LEVEL: [&str; 9] =
    ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "plugin", "dsp", "bundler", "tests", "presets"];

/// No file is longer than this.
const MOST_LINES: usize = 300;

// --- the tests

#[test]
fn the_arrows_of_the_map_are_the_only_imports_between_modules_of_dsp() {
    let mut breaches = Breaches::default();
    for source in sources("dsp/src") {
        let Some(module) = source.module() else { continue };
        let Some((_, allowed)) = ARROWS.iter().find(|(name, _)| *name == module) else {
            panic!("{}: `{module}` is not on the map", source.name);
        };
        for (number, imported) in modules_named_in(&source.name, &source.without_comments()) {
            let is_stage = ARROWS.iter().any(|(name, _)| *name == imported);
            if is_stage
                && imported != module
                && !TOOLS.contains(&imported.as_str())
                && !allowed.contains(&imported.as_str())
            {
                breaches.add(&source, number, &format!("`{module}` must not import `{imported}`"));
            }
        }
    }
    breaches.none();
}

#[test]
fn every_module_of_dsp_is_on_the_map_and_lib_rs_only_lists_them() {
    let folders: BTreeSet<String> = sources("dsp/src").iter().filter_map(|s| s.module().map(str::to_string)).collect();
    for (module, _) in ARROWS {
        assert!(folders.contains(module), "the map has `{module}`, but dsp/src has no such folder");
    }
    let lib = sources("dsp/src").into_iter().find(|source| source.name == "dsp/src/lib.rs").expect("lib.rs is there");
    let mut breaches = Breaches::default();
    for (number, line) in lib.code().filter(|(_, line)| !line.trim().is_empty()) {
        if !line.starts_with("pub mod ") && !line.starts_with("#![") {
            breaches.add(&lib, number, "lib.rs holds nothing but attributes and the modules of the map");
        }
    }
    breaches.none();
}

#[test]
fn dsp_does_no_io_reads_no_clock_and_starts_no_thread() {
    let forbidden = [
        "std::fs",
        "std::io",
        "std::net",
        "std::time",
        "std::thread",
        "std::env",
        "std::process",
        "println!",
        "eprintln!",
        "print!",
        "eprint!",
        "dbg!",
        "Instant::now",
        "SystemTime",
        "thread::spawn",
        "File::open",
    ];
    let mut breaches = Breaches::default();
    for source in sources("dsp/src") {
        for (number, line) in source.code() {
            for word in forbidden.iter().filter(|word| holds_path(line, word)) {
                breaches.add(&source, number, &format!("`{word}`: dsp does no I/O, reads no clock, starts no thread"));
            }
        }
    }
    breaches.none();
}

#[test]
fn nothing_after_conversion_knows_what_a_pickup_is() {
    let mut breaches = Breaches::default();
    for source in sources("dsp/src").iter().filter(|source| matches!(source.module(), Some("filter" | "engine"))) {
        for (number, line) in source.code() {
            for name in identifiers(line).filter(|name| name.to_lowercase().contains("pickup")) {
                breaches.add(source, number, &format!("`{name}`: nothing after conversion knows what a pickup is"));
            }
        }
    }
    breaches.none();
}

/// `string::synthesis` is a stated exception: it is the instrument that the checks measure with, and makes takes. So are
/// `following` and `calibration`, which listen to recordings.
#[test]
fn nothing_before_the_engine_but_the_filter_knows_what_a_sample_rate_is() {
    let mut breaches = Breaches::default();
    for source in &sources("dsp/src") {
        let excepted =
            matches!(source.module(), Some("filter" | "engine" | "following" | "calibration")) || source.is_synthesis();
        for (number, line) in source.code().filter(|_| !excepted) {
            for name in identifiers(line) {
                let flat: String = name.to_lowercase().split('_').collect();
                if flat.contains("samplerate") || flat.contains("samplespersecond") {
                    breaches.add(source, number, &format!("`{name}`: only filter and engine know a sample rate"));
                }
            }
        }
    }
    breaches.none();
}

#[test]
fn no_source_file_is_too_long_and_each_begins_with_what_it_is() {
    let mut breaches = Breaches::default();
    for folder in ["dsp/src", "bundler/src"] {
        for source in sources(folder) {
            let lines = source.text.lines().count();
            if lines > MOST_LINES {
                breaches.add(&source, lines, &format!("{lines} lines are more than {MOST_LINES}"));
            }
            if !source.text.starts_with("//!") {
                breaches.add(&source, 1, "a file begins with `//!` and what it is");
            }
        }
    }
    breaches.none();
}

#[test]
fn the_top_level_holds_only_what_the_client_listed() {
    let names = std::fs::read_dir(root()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let strangers: Vec<String> = names
        .filter(|name| !name.starts_with('.') && name != "target" && !TOP_LEVEL.contains(&name.as_str()))
        .collect();
    assert!(strangers.is_empty(), "the top level is for {TOP_LEVEL:?}, not for {strangers:?}");
}

#[test]
fn presets_are_toml_files_in_five_folders_with_names_in_kebab_case() {
    let kebab = |name: &str| {
        !name.is_empty()
            && name
                .split('-')
                .all(|word| !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit()))
    };
    let folders = ["guitars", "wirings", "add-ons", "switches", "sounds"];
    let mut found = 0;
    for path in files_under(&root().join("presets")) {
        let shown = path.strip_prefix(root()).unwrap().display().to_string();
        let folder = path.parent().and_then(Path::file_name).unwrap_or_default().to_string_lossy().into_owned();
        let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        assert!(folders.contains(&folder.as_str()), "{shown}: presets lie in {folders:?}");
        assert!(path.extension().is_some_and(|extension| extension == "toml"), "{shown}: a preset is a .toml file");
        assert!(kebab(&stem), "{shown}: a preset's name is lower-case words joined by `-`");
        found += 1;
    }
    assert!(found >= 40, "only {found} presets were found");
}

/// The scan itself must see what it forbids, else a renamed folder would make every test above pass.
#[test]
fn the_scan_sees_imports_paths_and_identifiers_and_no_comments() {
    let named = |file: &str, text: &str| -> Vec<(usize, String)> { modules_named_in(file, text) };
    let found = |line: usize, module: &str| (line, module.to_string());
    assert_eq!(named("dsp/src/a/b.rs", "\nuse crate::circuit::Grid;"), [found(2, "circuit")]);
    let grouped = "use crate::{\n    circuit::{Grid, Load},\n    string,\n};";
    assert_eq!(named("dsp/src/a/b.rs", grouped), [found(1, "circuit"), found(1, "string")]);
    let both = "let x = crate::units::parse(crate::document::NAME);";
    assert_eq!(named("dsp/src/a/b.rs", both), [found(1, "units"), found(1, "document")]);
    assert_eq!(named("dsp/src/a/b.rs", "pub(crate) fn x() {}\nuse super::sibling::Y;"), []);
    assert_eq!(named("dsp/src/a/b.rs", "use super::super::engine::Engine;"), [found(1, "engine")]);
    assert_eq!(named("dsp/src/a/mod.rs", "use super::engine::Engine;"), [found(1, "engine")]);
    assert_eq!(named("dsp/src/a/b/c.rs", "use super::super::sibling::X;"), []);
    assert!(holds_path("let t = std::time::Instant::now();", "std::time"));
    assert!(holds_path("use std::{fs, mem};", "std::fs"));
    assert!(holds_path("eprintln!(\"x\")", "eprintln!") && !holds_path("eprintln!(\"x\")", "println!"));
    assert!(!holds_path("use std::fmt;", "std::fs"));
    assert_eq!(identifiers("let a_b = C9 + \"d e\";").collect::<Vec<_>>(), ["let", "a_b", "C9", "d", "e"]);
    let text = "//! a\nuse x; // b\n/// c\nfn y() {}\n/* d\ne */ z\n".to_string();
    let source = Source { name: "x.rs".into(), text };
    let code: Vec<_> = source.code().map(|(number, line)| (number, line.trim().to_string())).collect();
    let code: Vec<_> = code.iter().filter(|(_, line)| !line.is_empty()).map(|(n, line)| (*n, line.as_str())).collect();
    assert_eq!(code, [(2, "use x;"), (4, "fn y() {}"), (6, "z")]);
    assert!(sources("dsp/src").len() > 30, "dsp/src was not found");
}
