//! `dryfit survey` and `dryfit find` as their user runs them.

#![allow(clippy::unwrap_used, reason = "a helper that fails fails its test")]

use dryfit_tests::binary;
use std::path::Path;
use std::process::Output;

use serde_json::Value;
use tempfile::TempDir;

fn run(folder: &Path, arguments: &[&str]) -> Output {
    std::process::Command::new(binary::dryfit()).args(arguments).current_dir(folder).output().unwrap()
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

const TABLE: &str = r#"format = 1
title = "mine"
[positions]
1 = "bridge"
2 = "bridge + middle"
3 = "neck + bridge"
4 = "neck + middle"
5 = "neck"
[knobs]
volume = "volume"
blend = "blend neck in 1"
"#;

#[test]
fn a_found_wiring_is_written_and_checked_surveyed_and_read_by_the_other_commands() {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("mine.toml"), TABLE).unwrap();
    let found = run(folder.path(), &["find", "./mine.toml", "-o", "wiring.toml"]);
    assert!(found.status.success(), "{}", said(&found.stderr));
    assert!(found.stdout.is_empty());
    let told = said(&found.stderr);
    assert!(told.contains("lever-2-pole-5-position") && told.contains("wires"), "{told}");
    assert!(run(folder.path(), &["check", "./wiring.toml"]).status.success());
    let survey = run(folder.path(), &["survey", "--option", "./wiring.toml", "--json", "--trials", "3"]);
    let json: Value = serde_json::from_slice(&survey.stdout).unwrap();
    assert_eq!(json["states"][0]["positions"][2]["sound"], "bridge + neck");
    assert_eq!(json["states"][0]["positions"][0]["knobs"]["blend"], "blend neck");
    assert_eq!(json["states"][0]["positions"][1]["knobs"]["blend"], "nothing");
    assert_eq!(json["states"][0]["distances"].as_array().unwrap().len(), 10);
}

#[test]
fn nothing_is_replaced_unless_it_is_asked_for() {
    let folder = TempDir::new().unwrap();
    std::fs::write(folder.path().join("there.toml"), "precious").unwrap();
    let arguments = ["find", "five-way-master-tone", "-o", "there.toml"];
    let refused = run(folder.path(), &arguments);
    assert_eq!(refused.status.code(), Some(1));
    assert!(said(&refused.stderr).contains("there already"));
    assert_eq!(std::fs::read_to_string(folder.path().join("there.toml")).unwrap(), "precious");
    assert!(run(folder.path(), &[&arguments[..], &["--overwrite"]].concat()).status.success());
    assert!(std::fs::read_to_string(folder.path().join("there.toml")).unwrap().starts_with("format = 1"));
}

#[test]
fn what_cannot_be_built_is_refused_with_the_proof_and_what_would_do() {
    let folder = TempDir::new().unwrap();
    let arguments = ["find", "five-way-bridge-only-neck-blend", "--switch", "lever-5-position", "-o", "none.toml"];
    let refused = run(folder.path(), &arguments);
    assert_eq!(refused.status.code(), Some(1));
    let told = said(&refused.stderr);
    for words in ["position 1", "position 2", "a-a1 in 1 2", "--switch lever-2-pole-5-position will do"] {
        assert!(told.contains(words), "{words} is missing in {told}");
    }
    assert!(!folder.path().join("none.toml").exists());
}

#[test]
fn a_survey_is_a_table_with_a_line_for_each_position_and_follows_the_settings() {
    let folder = TempDir::new().unwrap();
    let survey = |set: &[&str]| {
        let arguments = [&["survey", "--option", "five-way-outer-pair-series", "--trials", "0"], set].concat();
        let output = run(folder.path(), &arguments);
        assert!(output.status.success(), "{}", said(&output.stderr));
        said(&output.stdout)
    };
    let (down, up) = (survey(&["--set", "series=down"]), survey(&["--set", "series=up"]));
    let both = survey(&[]);
    for one in [&down, &up] {
        let table =
            |text: &str| text.lines().filter(|line| line.starts_with('5')).map(String::from).collect::<Vec<_>>();
        assert!(!table(one).is_empty() && table(one).iter().all(|line| table(&both).contains(line)), "{both}");
    }
    assert!(down.lines().any(|line| line.starts_with('5') && line.contains("  neck  ")), "{down}");
    assert!(up.lines().any(|line| line.starts_with('5') && line.contains("bridge in series with neck")), "{up}");
    assert!(up.contains("position") && up.contains("uV") && up.contains("neck tone: nothing in 1 2 3"), "{up}");
}

#[test]
fn a_survey_is_of_every_position_and_says_so_when_one_is_set() {
    let folder = TempDir::new().unwrap();
    let refused = run(folder.path(), &["survey", "--option", "five-way-two-tones", "--set", "position=2"]);
    assert_eq!(refused.status.code(), Some(1));
    assert!(refused.stdout.is_empty() && said(&refused.stderr).contains("leave the position out"));
}

#[test]
fn more_guitars_than_anybody_waits_for_are_refused_at_once() {
    let folder = TempDir::new().unwrap();
    let refused = run(folder.path(), &["survey", "--option", "five-way-two-tones", "--trials", "100000000"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused.stderr).contains("10000"), "{}", said(&refused.stderr));
}
