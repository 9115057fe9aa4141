//! What the command `dryfit` does outside the computing core: files in, files out, words for people.
//!
//! The core, `dryfit-dsp`, reads and writes nothing; everything that touches the disk or the terminal is here.
//!
//! - [`arguments`]: the command line as it is spelled.
//! - [`commands`]: one module per command; each gets its arguments and says what it did.
//! - [`documents`]: presets and files by name.
//! - [`calibration`]: a guitar document with measured figures in it.
//! - [`audio`]: recordings into takes, results into WAV files.
//! - [`demo`]: the take that is used when there is none.
//! - [`following`]: a take's way into an option: its recorded circuit out, its notes followed.
//! - [`rendering`]: a take through an option.
//! - [`sheet`]: the build sheet as one HTML file.
//! - [`survey`]: what a wiring gives in numbers, as text, tables and JSON.
//! - [`trust`]: how far a result can be trusted, in words.
//! - [`installation`]: where plug-ins belong, and putting them there.
//! - [`interruption`]: what must not stay behind.

// A user never sees a panic: what cannot fail says why, everything else is an error that advises.
#![cfg_attr(not(test), deny(clippy::unwrap_used))]

pub mod arguments;
pub mod audio;
pub mod audition;
pub mod calibration;
pub mod commands;
pub mod demo;
pub mod documents;
mod failure;
pub mod following;
pub mod installation;
pub mod interruption;
pub mod rendering;
pub mod sheet;
pub mod survey;
pub mod threads;
pub mod trust;

pub use failure::Failure;
