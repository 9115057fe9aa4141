//! Helpers shared by the specifications in `tests/tests` and the benches in `tests/benches`.

pub mod ground_truth;
pub mod metrics;
pub mod one_place;
pub mod real_recording;
