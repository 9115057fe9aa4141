//! Which string a pitch is on, by its stiffness.
//!
//! The same pitch on two strings has different partials, f_n = n f0 sqrt(1 + B n^2): every string that can play it is scored
//! by how well its partials hit the measured peaks (design.md, "Naming the string", has the method and what it was worth).
//! Pitches that sound together are on different strings, or nobody's: what is found at a pitch may be left over from a note before, or
//! belong to the notes around it, and then it must not take a string away from one that plays.

mod distinct;
mod evidence;
mod peaks;
mod pitch;
mod posterior;
mod score;
mod tracker;

pub(super) use distinct::MOST_PITCHES;
pub use distinct::MOST_STRINGS;
pub(super) use peaks::Peaks;
pub(super) use posterior::NoteEvidence;
pub use tracker::HeardNote;
pub(super) use tracker::{Patience, Tracker};
