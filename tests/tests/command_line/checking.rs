//! `dryfit check`

use std::fs;

use dryfit_dsp::document::{DocumentKind, Library};
use predicates::prelude::*;
use predicates::str::contains;

use super::bench::{Bench, err, out};

#[test]
fn every_preset_is_in_order_by_its_name() {
    let library = Library::presets();
    let names: Vec<&str> = DocumentKind::ALL.into_iter().flat_map(|kind| library.names(kind)).collect();
    let run = Bench::empty().dryfit(&format!("check {}", names.join(" "))).success().stderr("");
    assert_eq!(out(&run).lines().filter(|line| line.ends_with("in order")).count(), names.len());
}

#[test]
fn the_kind_of_a_file_is_told_from_its_keys() {
    let bench = Bench::empty();
    let library = Library::presets();
    for (kind, name) in [
        (DocumentKind::Guitar, "two-single-coils"),
        (DocumentKind::Wiring, "five-way-neck-blend"),
        (DocumentKind::AddOn, "treble-bleed"),
        (DocumentKind::Switch, "push-pull"),
        (DocumentKind::Sounds, "two-pickups"),
    ] {
        bench.write("document.toml", library.text(kind, name).unwrap().1);
        bench.dryfit("check document.toml").success().stdout(contains(format!("a {} in order", kind.name())));
    }
}

#[test]
fn a_wiring_with_an_add_on_is_checked_as_one() {
    Bench::empty().dryfit("check five-way-two-tones+treble-bleed").success();
    let run = Bench::empty().dryfit("check volume-only+no-load-tone").code(1);
    run.stdout(contains("`tone`"));
}

#[test]
fn a_switch_is_looked_for_beside_the_wiring_that_names_it() {
    let bench = Bench::empty();
    let library = Library::presets();
    fs::create_dir(bench.path("mine")).unwrap();
    bench.write("mine/lever.toml", library.text(DocumentKind::Switch, "lever-5-position").unwrap().1);
    let (_, wiring) = library.text(DocumentKind::Wiring, "five-way-two-tones").unwrap();
    bench.write("mine/wiring.toml", wiring.replace("\"lever-5-position\"", "\"lever.toml\""));
    bench.dryfit("check mine/wiring.toml").success();
    fs::remove_file(bench.path("mine/lever.toml")).unwrap();
    bench.dryfit("check mine/wiring.toml").code(1).stdout(contains("mine/lever.toml"));
}

#[test]
fn all_problems_of_all_documents_are_told_at_once_with_their_lines_and_the_exit_code_is_1() {
    let bench = Bench::empty();
    bench.write("one.toml", WRONG);
    bench.write("two.toml", "format = 1\ntitle = \"no wires\"\n");
    let run = bench.dryfit("check one.toml two.toml five-way-two-tones").code(1);
    let text = out(&run);
    for place in ["one.toml:5:", "one.toml:8:", "one.toml:13:", "two.toml:", "five-way-two-tones: a wiring in order"] {
        assert!(text.contains(place), "{place} is not in\n{text}");
    }
    assert!(text.matches("mend: ").count() >= 4, "{text}");
    assert_eq!(err(&run), "2 of 3 documents have errors\n");
}

#[test]
fn warnings_are_told_and_are_no_failure() {
    let run = Bench::empty().dryfit("check five-way-neck-on").success();
    run.stdout(contains("warning: ").and(contains("in order")));
}

#[test]
fn what_is_no_document_gets_one_clear_message() {
    let bench = Bench::empty();
    bench.write("prose.toml", "Dear client,\nhere is\nyour\nguitar.\nPlay it\nwell,\nplease.\n");
    bench.write("binary.toml", [0xFF, 0xFE, 0x00, 0x80]);
    bench.write("newer.toml", "format = 99\nlater-key = 1\n");
    bench.write("empty.toml", "");
    fs::create_dir(bench.path("folder.toml")).unwrap();
    for (file, message) in [
        ("prose.toml", "is it a document at all?"),
        ("binary.toml", "UTF-8"),
        ("newer.toml", "use a newer dryfit"),
        ("empty.toml", "format"),
        ("folder.toml", "directory"),
        ("missing.toml", "No such file"),
        ("five-way-two-tone", "did you mean `five-way-two-tones`?"),
        ("pushpull", "did you mean `push-pull`?"),
    ] {
        let run = bench.dryfit(&format!("check {file}")).code(1).stdout(contains(message));
        let lines = out(&run).lines().count();
        assert!(lines <= 6, "{lines} lines for {file}:\n{}", out(&run));
    }
}

/// Line 5: a unit that is none; line 8: a taper that is none; line 13: a key that is none.
const WRONG: &str = r#"format = 1
title = "Wrong in three places"

[pots.volume]
value = "250x"
control = "volume"
[pots.tone]
taper = "logarithmish"
value = "250k"
control = "tone"
[capacitors.tone-cap]
value = "47n"
colour = "orange"
[wires]
hot = ["bridge.hot", "volume.3", "tone.2"]
tone = ["tone.1", "tone-cap.1"]
jack = ["volume.2", "jack.tip"]
ground = ["volume.1", "tone-cap.2", "jack.sleeve", "bridge.ground"]
"#;
