//! Help, usage and the list of presets.

use dryfit_dsp::document::{DocumentKind, Library};
use predicates::prelude::*;
use predicates::str::contains;

use super::bench::{Bench, err, out};

#[test]
fn help_goes_to_standard_output_and_names_every_command() {
    let help = Bench::empty().dryfit("--help").success().stderr("");
    for command in ["render", "curve", "check", "list"] {
        assert!(out(&help).contains(command), "{command}");
    }
}

#[test]
fn help_of_a_command_names_every_option_of_it_with_a_sentence() {
    // The options are those of the design, section 6.
    let options = [
        (
            "render",
            "--take --output --option --set --each-position --recorded --recorded-set --guitar --follow --depth --overwrite",
        ),
        ("curve", "--option --set --guitar --pickup --from --to --points"),
        ("check", "--guitar"),
        ("list", "--about"),
    ];
    for (command, options) in options {
        let help = out(&Bench::empty().dryfit(&format!("{command} --help")).success());
        let help = help.split("\nOptions:").nth(1).unwrap();
        for option in options.split(' ') {
            let at_option = |text: &&str| text.starts_with([' ', '\n']);
            let after = help.split(option).skip(1).find(at_option).unwrap_or_default();
            let after = after.split("\n      --").next().unwrap_or_default();
            let words = after.split_whitespace().filter(|word| word.chars().all(char::is_alphabetic)).count();
            assert!(words >= 2, "`dryfit {command} --help` says too little about {option}: {after}");
        }
    }
}

#[test]
fn every_example_in_the_help_of_render_works_as_it_stands() {
    let bench = Bench::with_take();
    for pickup in ["b.wav", "n.wav"] {
        bench.write(pickup, bench.bytes("take.wav"));
    }
    let help = out(&bench.dryfit("render --help").success());
    let examples: Vec<&str> = help.lines().filter_map(|line| line.strip_prefix("  dryfit ")).collect();
    assert!(examples.len() >= 3, "{help}");
    for example in examples {
        bench.dryfit(example).success();
    }
}

#[test]
fn help_lines_fit_on_a_terminal_of_100_columns() {
    for command in ["", "render", "curve", "check", "list"] {
        let help = out(&Bench::empty().dryfit(&format!("{command} --help")).success());
        // The examples are lines to copy and are not wrapped.
        let text = help.split("Examples:").next().unwrap_or_default().split("Example:").next().unwrap_or_default();
        assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    }
}

#[test]
fn a_command_line_that_is_none_gives_2_and_the_usage_on_standard_error() {
    let bench = Bench::with_take();
    for wrong in [
        "",
        "rendre",
        "render take.wav",
        "render take.wav -o out.wav --option",
        "render take.wav -o out.wav --depth 17",
        "render take.wav -o out.wav --channel middle",
        "curve",
        "curve --option volume-only --points many",
        "check",
    ] {
        let refused = bench.dryfit(wrong).code(2).stdout("");
        assert!(err(&refused).contains("sage:") || err(&refused).contains("--help"), "{wrong}: {}", err(&refused));
    }
    assert_eq!(bench.listing(), ["take.wav"]);
}

#[test]
fn a_command_that_is_nearly_right_is_suggested() {
    Bench::empty().dryfit("rendr").code(2).stderr(contains("render"));
}

#[test]
fn the_version_is_that_of_the_package() {
    Bench::empty().dryfit("--version").success().stdout(contains(env!("CARGO_PKG_VERSION")));
}

#[test]
fn list_names_every_preset_with_its_title() {
    let list = out(&Bench::empty().dryfit("list").success().stderr(""));
    let library = Library::presets();
    for kind in DocumentKind::ALL {
        assert!(list.lines().any(|line| line == kind.folder()), "{}", kind.folder());
        for name in library.names(kind) {
            let line = list.lines().find(|line| line.split_whitespace().next() == Some(name));
            assert!(line.is_some_and(|line| line.split_whitespace().count() > 1), "{name}: {line:?}");
        }
    }
}

#[test]
fn list_about_says_what_each_preset_is_for() {
    let about = Library::presets().wiring("five-way-neck-blend").unwrap().about;
    Bench::empty().dryfit("list --about").success().stdout(contains(about));
}

#[test]
fn output_that_nobody_reads_any_more_is_no_failure() {
    let bench = Bench::empty();
    let mut child = std::process::Command::new(dryfit_tests::binary::dryfit())
        .args(["curve", "--option", "volume-only", "--points", "100000"])
        .current_dir(bench.path("."))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success());
    assert!(predicate::str::is_empty().eval(&String::from_utf8_lossy(&output.stderr)));
}
