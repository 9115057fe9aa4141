//! The command `dryfit` as its user runs it: what it writes, where, and what it says when something is wrong.
//!
//! Exit codes: 0 done, 1 a problem with what was given, 2 a command line that is not one (common practice, no source; 2 is what
//! the argument parser gives).

#![allow(clippy::unwrap_used, reason = "a helper that fails fails its test")]

#[path = "command_line/alone.rs"]
mod alone;
#[path = "command_line/anything.rs"]
mod anything;
#[path = "command_line/bench.rs"]
mod bench;
#[path = "command_line/calibrating.rs"]
mod calibrating;
#[path = "command_line/calibrating_blind.rs"]
mod calibrating_blind;
#[path = "command_line/calibrating_by_recordings.rs"]
mod calibrating_by_recordings;
#[path = "command_line/checking.rs"]
mod checking;
#[path = "command_line/curves.rs"]
mod curves;
#[path = "command_line/helping.rs"]
mod helping;
#[path = "command_line/interrupting.rs"]
mod interrupting;
#[path = "command_line/refusing.rs"]
mod refusing;
#[path = "command_line/rendering.rs"]
mod rendering;
#[path = "command_line/saying.rs"]
mod saying;
