//! From the circuit recorded and the circuit wanted to a target magnitude.

mod target;

pub use crate::circuit::{Controls, Grid, Load};
pub use target::Target;
