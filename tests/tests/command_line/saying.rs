//! What `dryfit render` says: what was assumed, what was made, and how far it can be trusted.

use dryfit_tests::binary;
use predicates::prelude::*;
use predicates::str::contains;

use super::bench::{Bench, MUTED, err, out};
use dryfit_tests::real_recording::skip_or_fail;

#[test]
fn what_is_assumed_about_the_recording_is_said_once_and_how_to_say_otherwise() {
    let bench = Bench::with_take();
    let run = bench.dryfit("render take.wav -o all --each-position").success();
    let text = err(&run);
    let lines: Vec<&str> = text.lines().filter(|line| line.starts_with("take recorded through")).collect();
    let [line] = lines[..] else { panic!("once, not {} times:\n{text}", lines.len()) };
    for words in [
        "Ordinary five-way with two tones",
        "position 1 (bridge)",
        "all knobs on 10",
        "cable 500p",
        "input 1M",
        "Three single coils",
        "--recorded,",
        "--recorded-set",
        "--guitar",
    ] {
        assert!(line.contains(words), "`{words}` is not in: {line}");
    }
}

#[test]
fn what_was_said_about_the_recording_is_said_back() {
    let bench = Bench::with_take();
    let recorded = "--recorded five-way-neck-on --recorded-set position=4 --recorded-set neck-tone=3 \
                    --recorded-set neck-on=up --recorded-set tone-cap=22n --recorded-set cable=300p";
    let run = bench.dryfit(&format!("render take.wav -o out.wav {recorded}")).success();
    // Position 4 of the ordinary lever is neck and middle; the switch adds the neck, which is on already.
    run.stderr(contains(
        "position 4 (middle + neck), neck tone 3, other knobs on 10, neck on up, tone-cap 22n, cable 300p",
    ));
}

#[test]
fn the_defaults_follow_the_guitar() {
    let bench = Bench::with_take();
    let run = bench.dryfit("render take.wav -o out.wav --guitar two-single-coils").success();
    run.stderr(contains("Two pickups, ordinary three-way")).stdout(contains("Two pickups with a series position"));
}

#[test]
fn a_result_says_position_controls_and_whether_it_is_exact() {
    let bench = Bench::with_take();
    let exact =
        "render take.wav -o exact.wav --option five-way-master-tone --set tone=4 --set tone-cap=22n --set cable=1n";
    let run = bench.dryfit(exact).success();
    let words = "exact.wav: Five-way with a master tone, position 1 (bridge), tone 4, other knobs on 10, tone-cap 22n, \
                 cable 1n, input 1M; exact: only the circuit differs; peak ";
    assert!(out(&run).starts_with(words), "{}", out(&run));
}

#[test]
fn another_pickup_is_an_estimate_with_a_figure() {
    let bench = Bench::with_take();
    let run = bench.dryfit("render take.wav -o out.wav --option five-way-two-tones --set position=5").success();
    let text = out(&run);
    let figures = text.split(" dB off on single lines, ").count();
    assert!(text.contains("position 5 (neck)") && text.contains("estimated: ") && figures == 2, "{text}");
}

#[test]
fn a_boost_that_is_held_back_is_said_with_its_frequency() {
    let bench = Bench::with_take();
    let run =
        bench.dryfit("render take.wav -o out.wav --recorded five-way-master-tone --recorded-set tone=0").success();
    run.stdout(contains("boost held back by up to ").and(contains("the take holds too little there")));
}

#[test]
fn an_option_that_is_silent_says_so_and_states_no_peak() {
    let bench = Bench::with_take();
    bench.write("muted.toml", MUTED);
    let text = out(&bench.dryfit("render take.wav -o out.wav --option muted.toml --set mute=2").success());
    assert!(text.contains("silent: no pickup reaches the jack") && !text.contains("peak"), "{text}");
}

#[test]
fn a_setting_that_only_some_options_know_is_left_out_of_the_others_with_a_note() {
    let bench = Bench::with_take();
    let options = "--option five-way-two-tones --option five-way-neck-blend";
    let run = bench.dryfit(&format!("render take.wav -o results {options} --set blend=3")).success();
    assert!(out(&run).contains("blend 3"), "{}", out(&run));
    assert_eq!(err(&run).matches("`blend=3`: left out here").count(), 1, "{}", err(&run));
    let wrong = bench.dryfit(&format!("render take.wav -o more {options} --set blendd=3")).code(1);
    wrong.stderr(contains("did you mean `blend`?"));
}

#[test]
fn a_warning_about_a_wiring_is_told_once() {
    let bench = Bench::with_take();
    let run = bench.dryfit("render take.wav -o all --option five-way-neck-on --each-position").success();
    assert_eq!(err(&run).matches("warning: ").count(), 1, "{}", err(&run));
}

#[test]
fn a_progress_bar_shows_on_a_terminal_and_nowhere_else() {
    let bench = Bench::empty();
    assert!(!err(&bench.dryfit("render -o out.wav").success()).contains("rendering"));
    let line = format!("{} render -o on-terminal.wav", binary::dryfit().display());
    // `script` of util-linux runs a command on a terminal of its own.
    let mut script = std::process::Command::new("script");
    match script.args(["-qec", &line, "/dev/null"]).current_dir(bench.path(".")).output() {
        Ok(shown) if shown.status.success() => {
            assert!(String::from_utf8_lossy(&shown.stdout).contains("rendering"));
        }
        Ok(other) => {
            skip_or_fail(format!("`script` gave {}: {}", other.status, String::from_utf8_lossy(&other.stderr)))
        }
        Err(error) => skip_or_fail(format!("`script` does not run ({error}); apt-get install bsdutils")),
    }
}
