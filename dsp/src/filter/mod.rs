//! From a target magnitude to a minimum-phase filter.
//!
//! ```text
//! ln|G| on the warped grid --interpolation--> ln|G| on FFT bins --minimum phase--> impulse response --cut--> taps and slow tails
//! ```
//!
//! [`Designer`] does it fast and without allocation; [`mod@reference`] does the same by definition and slowly, for tests.
//! [`Size`] says how long everything is at a sample rate.

mod designer;
mod detail_places;
mod interpolation;
mod minimum_phase;
pub mod reference;
mod size;
mod tail_fit;
mod value;
mod zero_at_dc;

pub use designer::Designer;
pub use size::Size;
pub use value::{Filter, Tail};
