//! Whatever is thrown at it: an error or a sound recording, never a panic, never a sample that is no number.

use std::fs;

use dryfit_bundler::audio::{Depth, SILENCE, read, write};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::RngSeed;

use crate::files::*;

/// A fixed seed: the same files on every run.
fn config() -> ProptestConfig {
    let rng_seed = RngSeed::Fixed(2);
    ProptestConfig { cases: 512, rng_seed, failure_persistence: None, ..ProptestConfig::default() }
}

/// Small valid files of each form.
fn valid_files() -> Vec<Vec<u8>> {
    let data: Vec<u8> = (0..600_u32).flat_map(|n| (0.3 * (n as f32).sin()).to_le_bytes()).collect();
    let folder = folder();
    let wav = folder.path().join("take.wav");
    integer_wav(&wav, 24, &[codes(24, 300), codes(24, 300)]);
    let mut files = vec![
        wav_bytes(1, 2, 16, &[], &data),
        wav_bytes(3, 1, 32, &[], &data),
        aifc_bytes(b"sowt", 16, 1_200, &data),
        aifc_bytes(b"NONE", 24, 800, &data),
        fs::read(&wav).unwrap(),
    ];
    files.extend(flac_of(&wav).map(|flac| fs::read(flac).unwrap()));
    assert!(files.iter().all(|file| read_bytes(file).is_ok()));
    files
}

#[test]
fn wrong_bytes_anywhere_give_an_error_or_finite_samples() {
    let files = prop::sample::select(valid_files());
    let wrong = prop::collection::vec((any::<Index>(), any::<u8>(), any::<bool>()), 1..8);
    proptest!(config(), |(mut bytes in files, wrong in wrong)| {
        for (place, value, in_header) in wrong {
            let place = if in_header { place.index(72) } else { place.index(bytes.len()) };
            bytes[place] = value;
        }
        if let Ok(recording) = read_bytes(&bytes) {
            let frames = recording.channels[0].len();
            prop_assert!(frames > 0);
            prop_assert!(recording.channels.iter().all(|channel| channel.len() == frames));
            prop_assert!(recording.channels.iter().flatten().all(|sample| sample.is_finite()));
        }
    });
}

#[test]
fn a_file_that_ends_anywhere_before_its_end_is_refused() {
    let files = prop::sample::select(valid_files());
    proptest!(config(), |(bytes in files, end in any::<Index>())| {
        let end = end.index(bytes.len());
        prop_assert!(read_bytes(&bytes[..end]).is_err(), "{end} of {} bytes", bytes.len());
    });
}

#[test]
fn noise_behind_any_formats_first_bytes_is_refused() {
    let heads: [&[u8]; 4] = [b"", b"RIFF\xFF\xFF\xFF\xFFWAVEfmt ", b"FORM\0\0\x01\0AIFFCOMM", b"fLaC\0\0\0\x22"];
    let noise = prop::collection::vec(any::<u8>(), 0..400);
    proptest!(config(), |(head in prop::sample::select(heads.to_vec()), noise in noise)| {
        prop_assert!(read_bytes(&[head, &noise].concat()).is_err());
    });
}

#[test]
fn whatever_floats_are_written_the_file_holds_them_or_does_not_exist() {
    let sample = prop_oneof![20 => -1.0_f32..=1.0, 1 => any::<f32>()];
    let samples = prop::collection::vec(sample, 1..40);
    proptest!(config(), |(samples in samples, is_float in any::<bool>())| {
        let folder = folder();
        let path = folder.path().join("result.wav");
        let depth = if is_float { Depth::Float32 } else { Depth::Pcm24 };
        let result = write(&destination(&path, &[], false), &[&samples], RATE, depth);
        prop_assert_eq!(result.is_ok(), path.exists());
        let loudest = samples.iter().fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
        if result.is_ok() && loudest >= 2.0 * SILENCE {
            // Half a code of rounding, but a whole one at +1, for which there is no code.
            let tolerance = if is_float { 0.0 } else { 1.0 / 8_388_608.0 };
            let back = &read(&path).unwrap().channels[0];
            prop_assert_eq!(back.len(), samples.len());
            prop_assert!(back.iter().zip(&samples).all(|(a, b)| (a - b).abs() <= tolerance));
        }
    });
}
