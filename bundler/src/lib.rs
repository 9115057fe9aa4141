//! What the command `dryfit` does outside the computing core: files in, files out.
//!
//! The core, `dryfit-dsp`, reads and writes nothing; everything that touches the disk is here, so that `main.rs` only has to
//! parse arguments and print sentences.
//!
//! - [`audio`]: recordings into takes, results into WAV files.

pub mod audio;
