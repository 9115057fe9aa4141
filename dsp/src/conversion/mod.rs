//! (to come)
pub use crate::circuit::Grid;
