//! Calibration: a guitar's figures from what its player can measure.

#![allow(clippy::unwrap_used, reason = "a helper that fails fails its test")]

#[path = "calibration/blind.rs"]
mod blind;
#[path = "calibration/listening.rs"]
mod listening;
#[path = "calibration/misfits.rs"]
mod misfits;
#[path = "calibration/real.rs"]
mod real;
#[path = "calibration/resonance.rs"]
mod resonance;
#[path = "calibration/sessions.rs"]
mod sessions;
