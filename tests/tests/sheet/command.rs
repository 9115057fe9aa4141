//! `dryfit sheet` as its user runs it.

use assert_cmd::Command;
use predicates::prelude::*;
use predicates::str::contains;

#[path = "../command_line/binary.rs"]
mod binary;

fn dryfit() -> Command {
    Command::new(binary::dryfit())
}

#[test]
fn a_sheet_is_written_and_not_overwritten_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.html");
    let order = |more: &[&str]| {
        let mut command = dryfit();
        command.args(["sheet", "--option", "five-way-neck-blend", "--set", "tone-cap=22n", "-o"]).arg(&path).args(more);
        command
    };
    order(&[]).assert().success().stderr(contains("build sheet of"));
    let first = std::fs::read_to_string(&path).unwrap();
    assert!(first.starts_with("<!DOCTYPE html>") && first.contains("<td>22n</td>"));
    order(&[]).assert().failure().stderr(contains("exists already"));
    order(&["--overwrite"]).assert().success();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), first);
}

#[test]
fn readings_alone_say_what_is_probably_wrong() {
    // 250k in position 3 of an ordinary five-way: the middle is not reached.
    let readings = "1=6.24k,2=3.02k,3=250k,4=5.67k,5=5.67k";
    dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--measured", readings])
        .assert()
        .success()
        .stdout(contains("middle"));
    let sound = "1=6.24k,2=3.03k,3=5.76k,4=2.89k,5=5.67k";
    dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--measured", sound])
        .assert()
        .success()
        .stdout(contains("sound guitar"));
}

#[test]
fn readings_that_make_no_sense_are_refused_all_at_once_with_their_place() {
    dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--measured", "9=6k,1=much,2,1:gain=3=5k"])
        .assert()
        .failure()
        .stderr(
            contains("no position `9`").and(contains("1=much")).and(contains("POSITION=OHMS")).and(contains("gain")),
        )
        .stdout(predicate::str::is_empty());
    dryfit().args(["sheet", "--option", "five-way-two-tones"]).assert().failure().stderr(contains("--output"));
    dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--set", "tone=3", "--measured", "1=6k"])
        .assert()
        .failure();
    dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--measured", ""])
        .assert()
        .failure()
        .stderr(contains("no reading"));
}
