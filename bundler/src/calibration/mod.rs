//! What is measured of a guitar on the command line, and pictures of it.
//!
//! [`read`] is what ruler and meter said, [`svg`] draws what recordings said.

mod measured;
mod parsed;
mod plot;

pub use measured::read;
pub use plot::svg;
