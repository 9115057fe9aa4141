//! Orders that cannot be: all is named, nothing is left behind.

use std::fs::File;
use std::io::Write;

use super::workplace::{Workplace, playing};

fn said(place: &Workplace, arguments: &[&str]) -> String {
    let run = place.audition(arguments).failure().code(1);
    String::from_utf8(run.get_output().stderr.clone()).unwrap()
}

#[test]
fn options_that_do_not_compile_are_all_named_and_none_is_rendered() {
    let place = Workplace::new();
    std::fs::write(place.path("broken.toml"), "format = 1\ntitle = \"Broken\"\n").unwrap();
    let text = said(
        &place,
        &[
            "--option",
            "no-such-wiring",
            "--option",
            "./broken.toml",
            "--option",
            "volume-only nonsense=3",
            "--option",
            "volume-only",
        ],
    );
    for word in ["no-such-wiring", "broken.toml", "nonsense"] {
        assert!(text.contains(word), "{word}: {text}");
    }
    assert_eq!(place.names(), ["broken.toml"]);
}

#[test]
fn a_take_that_is_not_there_is_named() {
    let place = Workplace::new();
    assert!(said(&place, &["nowhere.wav"]).contains("nowhere.wav"));
    assert!(place.names().is_empty());
}

/// A header that promises ten hours, and a file of that length which holds nothing: it must be refused before it is read.
#[test]
fn ten_hours_of_take_are_refused_at_once() {
    let place = Workplace::new();
    let bytes = 10 * 3600 * 16_000u32;
    let mut file = File::create(place.path("long.wav")).unwrap();
    file.write_all(b"RIFF").unwrap();
    file.write_all(&(bytes + 36).to_le_bytes()).unwrap();
    file.write_all(b"WAVEfmt \x10\0\0\0\x01\0\x01\0\x80\x3e\0\0\x80\x3e\0\0\x01\0\x08\0data").unwrap();
    file.write_all(&bytes.to_le_bytes()).unwrap();
    file.set_len(44 + u64::from(bytes)).unwrap();
    let text = said(&place, &["long.wav"]);
    assert!(text.contains("10.0 hours") && text.contains("passage"), "{text}");
    assert_eq!(place.names(), ["long.wav"]);
}

#[test]
fn more_than_a_page_carries_is_refused_with_what_would_do() {
    let place = Workplace::new();
    place.take("take.wav", 8_000, &vec![0.1; 8_000 * 601]);
    let text = said(&place, &["take.wav"]);
    assert!(text.contains("--from") && text.contains("--seconds"), "{text}");
    assert!(said(&place, &["take.wav", "--from", "600.5"]).contains("--from"));
}

/// The disk is as good as full when the system lets no file grow further (POSIX, setrlimit, RLIMIT_FSIZE).
#[cfg(unix)]
#[test]
fn a_disk_that_is_full_half_way_leaves_nothing_behind() {
    let place = Workplace::new();
    place.take("take.wav", 48_000, &playing(48_000, 3.0));
    for blocks in [40, 900] {
        let line =
            format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" audition take.wav --option five-way-neck-blend");
        let run = std::process::Command::new("sh")
            .args(["-c", &line])
            .arg(dryfit_tests::binary::dryfit())
            .current_dir(place.path(""))
            .output()
            .unwrap();
        assert_eq!(run.status.code(), Some(1), "{}", String::from_utf8_lossy(&run.stderr));
        let text = String::from_utf8_lossy(&run.stderr);
        assert!(text.contains("cannot be written"), "{text}");
        assert_eq!(place.names(), ["take.wav"], "{blocks} blocks");
    }
}

#[test]
fn a_page_that_is_there_stays_unless_it_may_go() {
    let place = Workplace::new();
    std::fs::write(place.path("audition.html"), "mine").unwrap();
    let text = said(&place, &["--option", "volume-only", "--seconds", "1"]);
    assert!(text.contains("audition.html: exists already"), "{text}");
    assert_eq!(place.names(), ["audition.html"]);
    place.audition(&["--option", "volume-only", "--seconds", "1", "--overwrite"]).success();
}

#[test]
fn a_settings_file_with_a_mistake_says_where() {
    let place = Workplace::new();
    std::fs::write(place.path("o.toml"), "format = 1\nrecorded = { guitar = \"three-single-coils\" }\ncolour = 1\n")
        .unwrap();
    let text = said(&place, &["--order", "o.toml"]);
    assert!(text.contains("o.toml") && text.contains("colour"), "{text}");
    std::fs::write(place.path("o.toml"), "format = 9\n").unwrap();
    assert!(said(&place, &["--order", "o.toml"]).contains("newer"));
}
