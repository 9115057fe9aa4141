//! Results: complete, or not there; never over the take.

use std::fs;
use std::path::Path;

use dryfit_bundler::audio::{Depth, WriteError, read, write};

use crate::files::*;

/// One 24-bit code, full scale 1.
const CODE: f32 = 1.0 / 8_388_608.0;

#[test]
fn every_24_bit_code_and_every_float_comes_back_bit_for_bit() {
    let folder = folder();
    let path = folder.path().join("result.wav");
    let channels = [meaning(&codes(24, 70_000), 24), meaning(&codes(16, 70_000), 16)];
    write(&destination(&path, &[], false), &channels, 44_100, Depth::Pcm24).unwrap();
    let recording = read(&path).unwrap();
    assert_eq!((recording.sample_rate, &recording.channels[..]), (44_100, &channels[..]));
    // 70000 / 44100 = 1.587 s.
    assert_eq!(recording.note, "WAV, 24 bit, 44100 Hz, 2 channels, 1.587 s");
    let beyond = [vec![1.5_f32, -2.0, 0.1, f32::MIN_POSITIVE]];
    write(&destination(&path, &[], true), &beyond, 192_000, Depth::Float32).unwrap();
    let recording = read(&path).unwrap();
    assert_eq!((recording.sample_rate, &recording.channels[..]), (192_000, &beyond[..]));
}

#[test]
fn rounding_to_24_bits_is_to_the_nearest_code_and_full_scale_itself_is_kept_within_one() {
    let folder = folder();
    let path = folder.path().join("result.wav");
    let samples = [0.4 * CODE, 0.6 * CODE, -0.6 * CODE, 1.0, -1.0];
    write(&destination(&path, &[], false), &[samples], RATE, Depth::Pcm24).unwrap();
    assert_eq!(read(&path).unwrap().channels, [[0.0, CODE, -CODE, 1.0 - CODE, -1.0]]);
}

#[test]
fn eighteen_channels_come_back_in_their_order() {
    let folder = folder();
    let path = folder.path().join("result.wav");
    let channels: Vec<Vec<f32>> = (1..=18).map(|n| vec![n as f32 / 32.0; 3]).collect();
    for depth in [Depth::Pcm24, Depth::Float32] {
        write(&destination(&path, &[], true), &channels, RATE, depth).unwrap();
        assert_eq!(read(&path).unwrap().channels, channels);
    }
}

#[test]
fn what_would_clip_in_24_bits_is_refused_with_the_level_and_leaves_nothing() {
    let folder = folder();
    let path = folder.path().join("result.wav");
    let error = write(&destination(&path, &[], false), &[[0.1, -2.0]], RATE, Depth::Pcm24).unwrap_err();
    let WriteError::Clips { peak_db, .. } = error else { panic!("{error}") };
    // 20 log10 2 = 6.0206 dB; the tolerance is the rounding of f32.
    assert!((peak_db - 6.0206).abs() < 1e-4, "{peak_db} dB");
    assert_eq!(names(&folder), [""; 0]);
}

#[test]
fn an_existing_file_stays_as_it_is_unless_overwriting_is_asked_for() {
    let folder = folder();
    let path = folder.path().join("result.wav");
    let work = b"somebody's work";
    fs::write(&path, work).unwrap();
    let error = write(&destination(&path, &[], false), &[[0.5]], RATE, Depth::Pcm24).unwrap_err();
    assert!(matches!(error, WriteError::Exists { .. }), "{error}");
    let checked = destination(&path, &[], false).check();
    assert!(matches!(checked, Err(WriteError::Exists { .. })));
    destination(&path, &[], true).check().unwrap();
    assert_eq!(fs::read(&path).unwrap(), work, "a check changes nothing");
    write(&destination(&path, &[], true), &[[0.5]], RATE, Depth::Pcm24).unwrap();
    assert_eq!(read(&path).unwrap().channels, [[0.5]]);
    assert_eq!(names(&folder), ["result.wav"]);
}

#[test]
#[cfg(unix)]
fn the_take_is_never_overwritten_under_any_of_its_names() {
    let folder = folder();
    let take = folder.path().join("take.wav");
    float_wav(&take, RATE, &[tone(110.0)]);
    let before = fs::read(&take).unwrap();
    fs::create_dir(folder.path().join("sub")).unwrap();
    fs::hard_link(&take, folder.path().join("hard.wav")).unwrap();
    std::os::unix::fs::symlink(&take, folder.path().join("soft.wav")).unwrap();
    let takes = [folder.path().join("another.wav"), take.clone()];
    for name in ["take.wav", "hard.wav", "soft.wav", "sub/../take.wav"] {
        let path = folder.path().join(name);
        for overwrite in [false, true] {
            let to = destination(&path, &takes, overwrite);
            let error = write(&to, &[[0.5]], RATE, Depth::Pcm24).unwrap_err();
            assert!(matches!(error, WriteError::IsTake { .. }), "{name}: {error}");
            assert!(error.to_string().contains("a take is never overwritten"), "{error}");
        }
        assert_eq!(fs::read(&path).unwrap(), before, "{name}");
    }
}

#[test]
#[cfg(unix)]
fn a_link_that_leads_nowhere_counts_as_an_existing_file() {
    let folder = folder();
    let link = folder.path().join("result.wav");
    std::os::unix::fs::symlink(folder.path().join("gone"), &link).unwrap();
    let error = write(&destination(&link, &[], false), &[[0.5]], RATE, Depth::Pcm24).unwrap_err();
    assert!(matches!(error, WriteError::Exists { .. }), "{error}");
}

#[test]
#[cfg(unix)]
fn a_result_may_be_read_by_whoever_may_read_the_players_other_files() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let (ordinary, result) = (folder.path().join("ordinary"), folder.path().join("result.wav"));
    fs::write(&ordinary, "").unwrap();
    write(&destination(&result, &[], false), &[[0.5]], RATE, Depth::Pcm24).unwrap();
    let mode = |path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(result), mode(ordinary));
}

#[test]
fn a_missing_folder_a_folder_as_file_and_a_folder_that_refuses_each_have_their_error() {
    let folder = folder();
    let refused = |path: &Path| write(&destination(path, &[], true), &[[0.5]], RATE, Depth::Pcm24).unwrap_err();
    assert!(matches!(refused(&folder.path().join("no/result.wav")), WriteError::FolderMissing { .. }));
    assert!(matches!(refused(folder.path()), WriteError::NotAFile { .. }));
    if cfg!(target_os = "linux") {
        // Not even the superuser makes files there.
        assert!(matches!(refused(Path::new("/proc/result.wav")), WriteError::Unwritable { .. }));
    }
    assert_eq!(names(&folder), [""; 0]);
}

#[test]
fn channels_that_make_no_file_and_samples_that_are_no_number_are_refused_before_anything_is_written() {
    let folder = folder();
    let path = folder.path().join("result.wav");
    let refused =
        |channels: &[Vec<f32>]| write(&destination(&path, &[], false), channels, RATE, Depth::Float32).unwrap_err();
    assert!(matches!(refused(&[]), WriteError::Shape { .. }));
    assert!(matches!(refused(&[vec![0.0; 2], vec![0.0; 3]]), WriteError::Shape { .. }));
    assert!(matches!(refused(&vec![vec![0.0]; 19]), WriteError::Shape { .. }));
    let error = refused(&[vec![0.0], vec![f32::NAN]]);
    assert!(matches!(error, WriteError::NotFinite { channel: 2, sample: 0, .. }), "{error}");
    assert_eq!(names(&folder), [""; 0]);
}
