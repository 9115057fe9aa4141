//! Helpers shared by the specifications in `tests/tests` and the benches in `tests/benches`.

pub mod benches;
pub mod binary;
pub mod blind;
pub mod calibration;
pub mod circuits;
pub mod colours;
pub mod following;
pub mod full_mix;
pub mod ground_truth;
pub mod metrics;
pub mod naming;
pub mod ngspice;
pub mod one_place;
pub mod operating_point;
pub mod real_recording;
pub mod sounds;
