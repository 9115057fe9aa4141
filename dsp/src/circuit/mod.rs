//! From an assembled wiring to one response per pickup.

mod grid;

pub use grid::Grid;
