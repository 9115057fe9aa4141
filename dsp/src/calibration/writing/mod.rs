//! A guitar document with measured figures in it, each with a comment of where it is from.
//!
//! [`Measured`] is what ruler and meter said; [`Draft`] is the document that gets it; [`write_found`] puts in what recordings
//! said.

mod draft;
mod found;
mod measured;

pub use draft::Draft;
pub use found::write_found;
pub use measured::{Measured, NotOneCoil};
