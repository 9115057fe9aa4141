//! Notes that are heard at their own pitch.
//!
//! ```text
//! beginnings: where notes begin ─> moments that look across none
//! ear: pitches, and what is said about their strings ─> plucks: which pluck a pitch comes from
//! fitting: a frame by these notes at their pitch ─> shown: what the strings do
//! ```

mod beginnings;
mod ear;
mod fitting;
mod plucks;
mod search;
mod shown;
mod smoothing;
mod voices;

pub(super) use beginnings::Moment;
pub use beginnings::beginnings;
pub(super) use ear::{Ear, Glance, Seen};
pub(super) use fitting::Fitting;
pub(super) use plucks::{Pluck, Plucks};
pub(super) use search::Search;
pub(super) use shown::{Shown, Sounding};
pub(super) use smoothing::approach;
pub(super) use voices::{Voice, Voices};
