//! From meter readings at the jack to what is probably wrong: single faults, each simulated, ranked by how well they
//! explain the readings.
//!
//! [`candidates`] makes one assembly for every single fault; [`expected`] says what a meter reads at the jack and in which
//! band; [`diagnose`] ranks the candidates, says which ones the readings cannot tell apart, and which test would.

mod candidates;
mod diagnosis;
mod distinguish;
mod finding;
mod measured;
mod reading;
mod split;

pub use candidates::{Candidate, FaultKind, candidates};
pub use diagnosis::{Diagnosis, FaultFinder, Suspicion, diagnose};
pub use distinguish::heard;
pub use finding::{Explained, Finding, report};
pub use measured::{doubts, measured, place};
pub use reading::{Expected, METER_OPEN, Reading, as_read, expected};
