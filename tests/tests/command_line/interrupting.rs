//! What stays behind when a render is interrupted: finished results, and nothing else.

#![cfg(unix)]

use dryfit_tests::binary;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use super::bench::{Bench, plucked};

/// Starts a long render, sends the signal after a while, and returns the exit code, or none when it ended by a signal.
fn interrupted(bench: &Bench, signal: &str, after: Duration) -> Option<i32> {
    let mut child = Command::new(binary::dryfit())
        .args(["render", "1.wav", "2.wav", "3.wav", "-o", "new/results", "--each-position"])
        .args(["--option", "five-way-two-tones", "--option", "five-way-master-tone", "--depth", "float"])
        // More cores would be done before the last signal.
        .env("RAYON_NUM_THREADS", "2")
        .current_dir(bench.path("."))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    sleep(after);
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(sent.success(), "the render was over after {after:?}: make it longer");
    child.wait().unwrap().code()
}

fn long_takes() -> Bench {
    let bench = Bench::empty();
    let second = plucked(48_000, 1.0);
    let long: Vec<f32> = second.iter().copied().cycle().take(40 * second.len()).collect();
    for name in ["1.wav", "2.wav", "3.wav"] {
        bench.take(name, 48_000, std::slice::from_ref(&long));
    }
    bench
}

#[test]
fn an_interrupted_render_leaves_whole_results_and_no_temporary_file() {
    let bench = long_takes();
    // Moments from the reading of the takes to the writing of results: a render of this much takes longer than the last.
    for milliseconds in [60, 200, 350, 500, 650, 800, 950, 1100] {
        let code = interrupted(&bench, "-INT", Duration::from_millis(milliseconds));
        // A signal before the program has begun ends it as it ends any.
        let not_begun = code.is_none() && !bench.path("new").exists();
        assert!(code == Some(130) || not_begun, "{code:?} after {milliseconds} ms");
        for name in bench.listing().iter().filter(|name| name.starts_with("new/results/")) {
            assert!(name.ends_with(".wav"), "{name} stayed behind after {milliseconds} ms");
            let reader = hound::WavReader::open(bench.path(name)).unwrap();
            assert_eq!(reader.len(), 40 * 48_000, "{name} is whole");
        }
        let _ = std::fs::remove_dir_all(bench.path("new"));
    }
}

#[test]
fn a_request_to_terminate_is_an_interruption_and_takes_empty_folders_away() {
    let bench = long_takes();
    assert_eq!(interrupted(&bench, "-TERM", Duration::from_millis(300)), Some(130));
    let results = bench.listing().iter().filter(|name| name.ends_with(".wav") && name.contains('/')).count();
    assert_eq!(bench.path("new").exists(), results > 0, "{:?}", bench.listing());
}
