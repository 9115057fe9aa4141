//! Files that make no take: each its own error, with what would mend it.

use std::fs;

use dryfit_bundler::audio::{ReadError, read};

use crate::files::*;

#[test]
fn a_file_that_is_no_sound_is_named_so_with_the_formats_that_are() {
    let text = b"# Not a take\n\nOnly text, though a long one.\n";
    let film = b"RIFF\x04\0\0\0AVI ";
    let compressed = b"ID3\x04\0\0\0\0\0\x0A0123456789\xFF\xFB";
    for bytes in [&text[..], film, compressed] {
        let error = read_bytes(bytes).unwrap_err();
        assert!(matches!(error, ReadError::NotAudio { .. }), "{error}");
        let mend = "not a WAV, AIFF (AIFF-C) or FLAC file; export the take as one of these";
        assert!(error.to_string().ends_with(mend), "{error}");
    }
}

#[test]
fn a_missing_file_a_folder_an_empty_file_and_a_header_without_samples_each_have_their_error() {
    let folder = folder();
    assert!(matches!(read(folder.path().join("no.wav")), Err(ReadError::Missing { .. })));
    assert!(matches!(read(folder.path()), Err(ReadError::NotAFile { what: "a folder", .. })));
    assert!(matches!(read_bytes(&[]), Err(ReadError::Empty { .. })));
    assert!(matches!(read_bytes(&wav_bytes(1, 1, 16, &[], &[])), Err(ReadError::Empty { .. })));
}

#[test]
fn a_truncated_file_is_refused_with_the_seconds_that_can_be_read() {
    let samples = codes(16, RATE as usize);
    let data: Vec<u8> = samples.iter().flat_map(|&code| (code as i16).to_le_bytes()).collect();
    let wav = wav_bytes(1, 1, 16, &[], &data);
    let aiff = aifc_bytes(b"sowt", 16, RATE, &data);
    for (bytes, head) in [(wav, 44), (aiff, AIFC_HEAD)] {
        // Half a second of 48000 samples of 2 bytes.
        let error = read_bytes(&bytes[..head + 48_000]).unwrap_err();
        let ReadError::Truncated { read_seconds, promised_seconds, .. } = error else {
            panic!("{error}");
        };
        assert_eq!((read_seconds, promised_seconds), (0.5, 1.0));
    }
}

#[test]
fn an_aiff_whose_sound_is_shorter_than_its_common_chunk_says_is_truncated() {
    let error = read_bytes(&aifc_bytes(b"sowt", 16, 100, &[1; 100])).unwrap_err();
    assert!(matches!(error, ReadError::Truncated { .. }), "{error}");
}

#[test]
fn a_flac_file_with_a_wrong_bit_anywhere_in_its_sound_is_refused() {
    let folder = folder();
    let wav = folder.path().join("take.wav");
    integer_wav(&wav, 16, &[codes(16, 20_000)]);
    let Some(flac) = flac_of(&wav) else { return };
    let bytes = fs::read(flac).unwrap();
    // Everything before the sound, tags and 8 kB of padding included, fits into the first half.
    for place in (bytes.len() / 2..bytes.len()).step_by(bytes.len() / 100) {
        let mut wrong = bytes.clone();
        wrong[place] ^= 0x10;
        assert!(read_bytes(&wrong).is_err(), "byte {place} of {}", bytes.len());
    }
}

#[test]
fn samples_that_are_no_numbers_are_counted_and_the_first_is_named() {
    let folder = folder();
    let path = folder.path().join("take.wav");
    let (mut left, mut right) = (tone(220.0), tone(220.0));
    (left[30_000], right[24_000], right[40_000]) = (f32::NAN, f32::INFINITY, f32::NEG_INFINITY);
    float_wav(&path, RATE, &[left, right]);
    let error = read(&path).unwrap_err().to_string();
    let expected = "3 samples are not finite numbers, the first at 0.500 s in channel 2; \
                    export it again, as 24 bit";
    assert!(error.ends_with(expected), "{error}");
}

#[test]
fn a_silent_file_is_refused_whether_it_is_zero_or_below_minus_100_dbfs() {
    let folder = folder();
    let path = folder.path().join("take.wav");
    let result = |level: f32| {
        float_wav(&path, RATE, &[vec![level; 100]]);
        read(&path).map_err(|error| error.to_string())
    };
    assert!(result(0.0).unwrap_err().contains("silent, every sample is zero"));
    // 20 log10 1e-6 = -120 dB, 20 log10 2e-5 = -94 dB.
    assert!(result(1e-6).unwrap_err().contains("silent, its highest peak is -120 dBFS"));
    assert!(result(2e-5).is_ok());
}

#[test]
fn sample_rates_below_8_khz_and_above_384_khz_are_refused() {
    let folder = folder();
    let path = folder.path().join("take.wav");
    for (sample_rate, is_taken) in [(7_999, false), (8_000, true), (384_000, true), (384_001, false)] {
        float_wav(&path, sample_rate, &[vec![0.5; 100]]);
        match read(&path) {
            Ok(_) => assert!(is_taken, "{sample_rate} Hz"),
            Err(ReadError::RateOutOfRange { .. }) => assert!(!is_taken, "{sample_rate} Hz"),
            Err(other) => panic!("{other}"),
        }
    }
}

#[test]
fn a_file_of_40_or_65535_channels_is_refused_and_not_read_as_one_of_fewer() {
    for channels in [40, u16::MAX] {
        for (tag, extension) in [(1, vec![]), (0xFFFE, extension(1, 16, 0))] {
            let error = read_bytes(&wav_bytes(tag, channels, 16, &extension, &[1; 2_560])).unwrap_err();
            assert!(matches!(error, ReadError::TooManyChannels { .. }), "{error}");
        }
    }
}
