//! Sound files of every form, made without the code under test.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use dryfit_bundler::audio::{Destination, ReadError, Recording, read};
use dryfit_tests::real_recording::skip_or_fail;
use tempfile::TempDir;

/// The sample rate of all files unless said otherwise, in hertz.
pub const RATE: u32 = 48_000;

/// Codes of `bits` bits: the ends, the ones about zero, then a Weyl sequence that visits the range evenly.
pub fn codes(bits: u32, count: usize) -> Vec<i32> {
    let top = (1_i64 << (bits - 1)) - 1;
    let ends = [-top - 1, top, 0, -1, 1, -top, top - 1];
    let weyl = |n: u32| i64::from(n.wrapping_mul(2_654_435_769));
    let spread = (1_u32..).map(|n| weyl(n) * (top + 1) / (1 << 31) - top - 1);
    ends.into_iter().chain(spread).take(count).map(|code| code as i32).collect()
}

/// What the codes mean, full scale 1.
pub fn meaning(codes: &[i32], bits: u32) -> Vec<f32> {
    codes.iter().map(|&code| (f64::from(code) / f64::from(bits - 1).exp2()) as f32).collect()
}

/// One second of a quiet sine, as a stand-in for a guitar.
pub fn tone(hertz: f32) -> Vec<f32> {
    let angle = |n: u32| std::f32::consts::TAU * hertz * n as f32 / RATE as f32;
    (0..RATE).map(|n| 0.25 * angle(n).sin()).collect()
}

pub fn folder() -> TempDir {
    tempfile::tempdir().expect("the system has a folder for temporary files")
}

pub fn names(folder: &TempDir) -> Vec<String> {
    let entries = fs::read_dir(folder.path()).unwrap();
    let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

pub fn destination<'a>(path: &'a Path, takes: &'a [PathBuf], overwrite: bool) -> Destination<'a> {
    Destination { path, takes, overwrite }
}

pub fn read_bytes(bytes: &[u8]) -> Result<Recording, ReadError> {
    let folder = folder();
    let path = folder.path().join("take.bin");
    fs::write(&path, bytes).unwrap();
    read(path)
}

pub fn integer_wav(path: &Path, bits: u16, channels: &[Vec<i32>]) {
    wav(path, RATE, bits, hound::SampleFormat::Int, channels);
}

pub fn float_wav(path: &Path, sample_rate: u32, channels: &[Vec<f32>]) {
    wav(path, sample_rate, 32, hound::SampleFormat::Float, channels);
}

fn wav<S: hound::Sample + Copy>(
    path: &Path,
    sample_rate: u32,
    bits_per_sample: u16,
    sample_format: hound::SampleFormat,
    channels: &[Vec<S>],
) {
    let count = channels.len() as u16;
    let spec = hound::WavSpec { channels: count, sample_rate, bits_per_sample, sample_format };
    let mut writer = hound::WavWriter::create(path, spec).unwrap();
    for frame in 0..channels[0].len() {
        channels.iter().for_each(|channel| writer.write_sample(channel[frame]).unwrap());
    }
    writer.finalize().unwrap();
}

/// A WAV file byte by byte, for what the library does not write.
pub fn wav_bytes(tag: u16, channels: u16, bits: u16, extension: &[u8], data: &[u8]) -> Vec<u8> {
    let frame = channels.wrapping_mul(bits / 8);
    let format_length = 16 + extension.len() as u32;
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((4 + 8 + format_length + 8 + data.len() as u32).to_le_bytes());
    bytes.extend(b"WAVEfmt ");
    bytes.extend(format_length.to_le_bytes());
    bytes.extend([tag, channels].iter().flat_map(|word| word.to_le_bytes()));
    bytes.extend([RATE, RATE.wrapping_mul(frame.into())].iter().flat_map(|word| word.to_le_bytes()));
    bytes.extend([frame, bits].iter().flat_map(|word| word.to_le_bytes()));
    bytes.extend(extension);
    bytes.extend(b"data");
    bytes.extend((data.len() as u32).to_le_bytes());
    bytes.extend(data);
    bytes
}

/// The 24 bytes that make a WAV format chunk extensible. Sub-formats: 0000000x-0000-0010-8000-00aa00389b71, x = 1 integers, 3
/// floats (ksmedia.h, from memory).
pub fn extension(sub_format: u8, bits: u16, speakers: u32) -> Vec<u8> {
    let mut bytes = 22_u16.to_le_bytes().to_vec();
    bytes.extend(bits.to_le_bytes());
    bytes.extend(speakers.to_le_bytes());
    bytes.extend([sub_format, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71]);
    bytes
}

/// The bytes of an AIFF-C file before its sound.
pub const AIFC_HEAD: usize = 12 + 8 + 24 + 16;

/// A mono AIFF-C file of 48000 Hz byte by byte; the rate is an 80-bit extended number.
pub fn aifc_bytes(compression: &[u8; 4], bits: u16, frames: u32, data: &[u8]) -> Vec<u8> {
    let mut common = 1_u16.to_be_bytes().to_vec();
    common.extend(frames.to_be_bytes());
    common.extend(bits.to_be_bytes());
    common.extend([0x40, 0x0E, 0xBB, 0x80, 0, 0, 0, 0, 0, 0]);
    common.extend(compression);
    common.extend([0, 0]);
    let mut body = b"AIFCCOMM".to_vec();
    body.extend((common.len() as u32).to_be_bytes());
    body.extend(&common);
    body.extend(b"SSND");
    body.extend((8 + data.len() as u32).to_be_bytes());
    body.extend([0; 8]);
    body.extend(data);
    let mut bytes = b"FORM".to_vec();
    bytes.extend((body.len() as u32).to_be_bytes());
    bytes.extend(body);
    bytes
}

/// The same sound as AIFF, made by another program without dither (-D); `None` and a skip where it is not installed.
pub fn aiff_of(wav: &Path) -> Option<PathBuf> {
    let aiff = wav.with_extension("aiff");
    run(Command::new("sox").arg("-D").args([wav, &aiff]), "sox")?;
    Some(aiff)
}

/// The same sound as FLAC, likewise. `--lax` admits what a disc player could not stream, the channel map is for seven channels, whose
/// speaker places the program does not know.
pub fn flac_of(wav: &Path) -> Option<PathBuf> {
    let flac = wav.with_extension("flac");
    run(Command::new("flac").args(["--silent", "--lax", "--channel-map=none", "-o"]).args([&flac, wav]), "flac")?;
    Some(flac)
}

fn run(command: &mut Command, package: &str) -> Option<()> {
    match command.output() {
        Ok(output) => {
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
            Some(())
        }
        Err(error) => {
            skip_or_fail(format!("`{package}` does not run ({error}); apt-get install {package}"));
            None
        }
    }
}
