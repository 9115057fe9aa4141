//! `dryfit render` when something is wrong: one clear message each, all at once, and nothing has changed.

use std::fs;

use super::bench::{Bench, MUTED, RATE, err, plucked};

/// Runs a command that fails with code 1, says this, and leaves the folder and every file in it as it was.
fn refused(bench: &Bench, arguments: &str, messages: &[&str]) -> String {
    let listing = bench.listing();
    let files = || -> Vec<Vec<u8>> {
        let files = listing.iter().filter(|name| bench.path(name).is_file());
        files.map(|name| bench.bytes(name)).collect()
    };
    let before = files();
    let run = bench.dryfit(arguments).code(1).stdout("");
    let text = err(&run);
    for message in messages {
        assert!(text.contains(message), "`{message}` is not in\n{text}");
    }
    assert!(!text.contains("panicked"), "{text}");
    assert_eq!(bench.listing(), listing, "after dryfit {arguments}");
    assert!(files() == before, "a file changed after dryfit {arguments}");
    text
}

#[test]
fn an_output_that_exists_is_left_alone() {
    let bench = Bench::with_take();
    bench.write("out.wav", "a file of the player's");
    refused(&bench, "render take.wav -o out.wav", &["out.wav: exists already"]);
}

#[test]
fn the_take_is_never_overwritten_under_whatever_name() {
    let bench = Bench::with_take();
    refused(&bench, "render take.wav -o take.wav", &["a take is never overwritten"]);
    refused(&bench, "render take.wav -o take.wav --overwrite", &["a take is never overwritten"]);
    refused(&bench, "render take.wav -o ./take.wav --overwrite", &["a take is never overwritten"]);
    fs::hard_link(bench.path("take.wav"), bench.path("hard.wav")).unwrap();
    refused(&bench, "render take.wav -o hard.wav --overwrite", &["a take is never overwritten"]);
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("take.wav", bench.path("soft.wav")).unwrap();
        refused(&bench, "render take.wav -o soft.wav --overwrite", &["a take is never overwritten"]);
    }
}

#[test]
fn a_result_among_several_that_would_be_a_take_is_refused() {
    let bench = Bench::empty();
    fs::create_dir(bench.path("results")).unwrap();
    bench.take("results/take-volume-only.wav", RATE, &[plucked(RATE, 0.1)]);
    bench.take("take.wav", RATE, &[plucked(RATE, 0.1)]);
    let takes = "take.wav results/take-volume-only.wav";
    let render = format!("render {takes} -o results --option volume-only --overwrite");
    refused(&bench, &render, &["a take is never overwritten"]);
}

#[test]
fn a_folder_that_is_missing_or_cannot_be_one_is_named() {
    let bench = Bench::with_take();
    refused(&bench, "render take.wav -o missing/out.wav", &["the folder missing does not exist"]);
    // Permissions do not bind an administrator; a path below a file binds everybody.
    refused(&bench, "render take.wav -o take.wav/out.wav", &["take.wav/out.wav"]);
    refused(&bench, "render take.wav -o take.wav/results --each-position", &["take.wav/results cannot be one"]);
    refused(&bench, "render take.wav -o take.wav --each-position", &["take.wav is named like a file"]);
    refused(&bench, "render take.wav -o new/results.wav --each-position", &["is named like a file"]);
    refused(&bench, "render take.wav -o out.flac", &["results are WAV files, not FLAC", "out.wav"]);
}

#[test]
fn results_of_one_name_are_refused() {
    let bench = Bench::with_take();
    fs::create_dir(bench.path("other")).unwrap();
    bench.take("other/take.wav", RATE, &[plucked(RATE, 0.1)]);
    refused(&bench, "render take.wav other/take.wav -o results", &["two results would be called results"]);
    let twice = "render take.wav -o results --option volume-only --option volume-only";
    refused(&bench, twice, &["two results would be called results"]);
}

#[test]
fn a_take_that_cannot_be_used_gets_one_clear_message() {
    let bench = Bench::with_take();
    let take = bench.bytes("take.wav");
    bench.write("empty.wav", "");
    bench.take("no-samples.wav", RATE, &[Vec::new()]);
    bench.take("silent.wav", RATE, &[vec![0.0; 4800]]);
    let mut broken = plucked(RATE, 0.1);
    broken[100] = f32::NAN;
    bench.take("nan.wav", RATE, &[broken]);
    bench.write("truncated.wav", &take[..take.len() / 2]);
    bench.write("header-only.wav", &take[..20]);
    bench.write("prose.wav", "This is not a recording but a letter about one.");
    fs::create_dir(bench.path("folder.wav")).unwrap();
    for (take, message) in [
        ("empty.wav", "empty"),
        ("no-samples.wav", "empty"),
        ("silent.wav", "silent"),
        ("nan.wav", "not finite"),
        ("truncated.wav", "truncated"),
        ("header-only.wav", "header-only.wav: "),
        ("prose.wav", "not a WAV, AIFF"),
        ("folder.wav", "a folder, not a file"),
        ("missing.wav", "no such file"),
    ] {
        let text = refused(&bench, &format!("render {take} -o out.wav"), &[&format!("{take}: "), message]);
        assert_eq!(text.lines().count(), 1, "one message for {take}:\n{text}");
    }
}

#[test]
fn a_channel_that_is_not_there_is_named() {
    refused(&Bench::with_take(), "render take.wav -o out.wav --channel 3", &["no channel 3"]);
}

#[test]
fn everything_that_is_wrong_is_named_in_one_run() {
    let bench = Bench::with_take();
    bench.take("silent.wav", RATE, &[vec![0.0; 4800]]);
    bench.write("wrong.toml", "format = 1\ntitle = \"wrong\"\ncolour = 3\n");
    bench.write("out.wav", "a file of the player's");
    let takes = "take.wav missing.wav silent.wav";
    let options = "--option wrong.toml --option five-way-tow-tones --option five-way-neck-blend --set blend=12";
    let recorded = "--recorded five-way-two-tones --recorded-set position=8";
    let messages = [
        "missing.wav: no such file",
        "silent.wav: silent",
        "wrong.toml:3: error",
        "did you mean `five-way-two-tones`?",
        "`blend=12`",
        "`position=8`",
        "out.wav/results cannot be one",
    ];
    let render = format!("render {takes} -o out.wav/results {options} {recorded}");
    refused(&bench, &render, &messages);
}

#[test]
fn an_unknown_guitar_does_not_hide_what_else_is_wrong() {
    let bench = Bench::with_take();
    let render = "render missing.wav -o out.wav --guitar three-single --option five-way-tow-tones";
    let messages =
        ["did you mean `three-single-coils`?", "did you mean `five-way-two-tones`?", "missing.wav: no such file"];
    refused(&bench, render, &messages);
}

#[test]
fn a_wiring_for_other_pickups_than_the_guitar_s_says_which_it_lacks() {
    let bench = Bench::with_take();
    let render = "render take.wav -o out.wav --guitar two-single-coils --option five-way-two-tones";
    refused(&bench, render, &["five-way-two-tones.toml:", "has no pickup `middle`", "bridge, neck", "--guitar"]);
}

#[test]
fn a_take_that_no_pickup_can_have_made_is_refused_once() {
    let bench = Bench::with_take();
    // In the middle position of the toggle the pickup is off.
    bench.write("muted.toml", MUTED);
    let render = "render take.wav -o results --each-position --recorded muted.toml --recorded-set mute=2";
    let text = refused(&bench, render, &["no pickup reaches the jack"]);
    assert_eq!(text.matches("error: ").count(), 1, "{text}");
}

#[test]
fn contradictions_on_the_command_line_are_named() {
    let bench = Bench::with_take();
    let render = "render take.wav -o results --each-position --set position=2";
    refused(&bench, render, &["--each-position", "contradict"]);
}

#[test]
fn a_device_is_no_place_for_a_result() {
    // What is there always, and is no file: null(4).
    if std::path::Path::new("/dev/null").exists() {
        refused(&Bench::with_take(), "render take.wav -o /dev/null --overwrite", &["not a file"]);
    }
}
