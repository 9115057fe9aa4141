//! `dryfit sheet` as its user runs it.

use assert_cmd::Command;
use dryfit_tests::binary;
use predicates::prelude::*;
use predicates::str::contains;

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

/// What a hurried hand types: each gets one message that names the entry.
#[test]
fn readings_with_the_wrong_signs_between_are_told_what_separates_them() {
    for (readings, entry, word) in [
        ("1=6.2k 2=3k", "1=6.2k 2=3k", "separated by commas"),
        ("1=6.2k;2=3k", "1=6.2k;2=3k", "separated by commas"),
        ("1=6,2k", "2k", "decimals take a point"),
        ("1=6.2k,1=6.4k", "1=6.4k", "already"),
        ("9=6k", "9=6k", "no position"),
        ("1:gain=3=5k", "1:gain=3=5k", "gain"),
    ] {
        let refused =
            dryfit().args(["sheet", "--option", "five-way-two-tones", "--measured", readings]).assert().failure();
        let told = String::from_utf8(refused.get_output().stderr.clone()).unwrap();
        assert!(told.starts_with(&format!("`{entry}`: error: ")) && told.contains(word), "{readings}: {told}");
        assert_eq!(told.matches("error:").count(), 1, "{readings}: {told}");
    }
}

#[test]
fn a_reading_without_a_unit_is_taken_for_ohms_and_doubted() {
    dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--measured", "1=6.2,2=0.3,3=5760"])
        .assert()
        .success()
        .stderr(contains("for kilohms write 6.2k").and(contains("0.3").not()).and(contains("5760").not()));
}

/// Readings of a sound guitar within a hundredth; a shorted capacitor comes nearer by less than a meter can tell.
#[test]
fn a_guitar_that_reads_as_sound_is_called_sound_before_anything_else() {
    let told = dryfit()
        .args(["sheet", "--option", "five-way-two-tones", "--measured", "1=6.2k,2=3.0k,3=5.7k"])
        .assert()
        .success();
    let told = String::from_utf8(told.get_output().stdout.clone()).unwrap();
    let first = told.split("\n2. ").next().unwrap();
    assert!(first.contains("everything is as it should be"), "{told}");
}
