//! Helpers shared by the specifications in `tests/tests` and the benches in `tests/benches`.

pub mod circuits;
pub mod ngspice;
