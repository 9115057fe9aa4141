//! Takes in, results out: what a sound file becomes, and what happens when it is not what it should be.
//!
//! Sample codes: RIFF/WAVE (Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0, 1991) and AIFF-C (Audio
//! Interchange File Format, version 1.3, 1989): two's complement, but offset binary in 8-bit WAV. Full scale is 2^(b-1): common
//! practice, from memory; AES17 places 0 dBFS within one code of it.

#![allow(clippy::unwrap_used, reason = "a helper that fails fails its test")]

#[path = "audio_files/anything.rs"]
mod anything;
#[path = "audio_files/files.rs"]
mod files;
#[path = "audio_files/reading.rs"]
mod reading;
#[path = "audio_files/refusing.rs"]
mod refusing;
#[path = "audio_files/taking.rs"]
mod taking;
#[path = "audio_files/writing.rs"]
mod writing;
