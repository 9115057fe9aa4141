//! What a wiring gives in each position, in numbers.
//!
//! A [`Surveyor`] is compiled once for a wiring (some milliseconds). [`Surveyor::figures`] and [`Surveyor::positions`] are
//! cheap (tens of microseconds a position): recompute them when a knob moves. [`Surveyor::distances`] takes milliseconds and
//! [`tolerances`] a good part of a second: ask for them when the player rests. Everything is in SI, except where a name ends
//! in `_db`.

mod distance;
mod figures;
mod flags;
mod loudness;
mod shape;
mod tolerance;
mod turned;

pub use crate::circuit::{Band, dc_band};
pub use distance::{Distance, Distances, HIGHEST_FRET};
pub use figures::{Figures, Surveyor};
pub use flags::{DUPLICATE_DB, DUPLICATE_ERROR, DUPLICATE_SOURCE, Flag, JUMP_DB, JUMP_SOURCE, flags};
pub use loudness::k_weighting;
pub use shape::Resonance;
pub use tolerance::{Spread, Tolerances, tolerances};
pub use turned::Turned;
