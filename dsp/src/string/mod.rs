//! Strings: how they vibrate, and what a pickup senses of them at its place.
//!
//! [`modes`] gives a stiff string's partials and wavelengths, [`sensing`] what a pickup makes of a wave of that length,
//! [`Energies`] how much each string holds where, and [`PlaceTable`] the sums of all that, which is the only thing that
//! `conversion` reads. None of these knows a sample rate.
//!
//! [`synthesis`] plays [`performances`] on such a guitar for every pickup at once: takes of which the truth is known. It
//! is a measuring instrument and the one place before the filter that knows a sample rate.

mod energy;
pub mod modes;
pub mod performances;
mod place;
mod playing;
pub mod sensing;
pub mod synthesis;

pub use energy::{Energies, prior};
pub use modes::{STEEL_DENSITY, STEEL_MODULUS, StiffString};
pub use place::{PlaceTable, SensingTable};
pub use playing::Playing;
pub use synthesis::{Gesture, Note, Performance, Realism, Take, stem, synthesise};
