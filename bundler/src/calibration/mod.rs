//! A guitar document with measured figures in it.
//!
//! [`Measured`] is what ruler and meter said, read from the command line; [`Draft`] is the document that gets it, with a
//! comment at every figure that says where it is from; [`write_found`] puts in what recordings said, [`svg`] draws it.

mod draft;
mod found;
mod measured;
mod parsed;
mod plot;

pub use draft::Draft;
pub use found::write_found;
pub use measured::Measured;
pub use plot::svg;
