//! From an assembled wiring to one response per pickup.

mod controls;
mod grid;

pub use controls::{Controls, Load};
pub use grid::Grid;
