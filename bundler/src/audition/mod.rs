//! One self-contained page on which somebody hears options and chooses: what goes into it, and what comes back from it.
//!
//! Rendered sound becomes a [`Clip`] (lossless, with its loudness), a place of the controls a set of short filters for the
//! knobs ([`Knobs`]), and all of it one HTML file ([`page`]). [`answers`] reads what the listener sends back. The page's own
//! files lie in `page/` and are embedded when this is built.

pub mod answers;
mod clip;
mod curve;
mod dense;
mod flac;
mod knobs;
pub mod order;
pub mod page;
mod parts;
mod short_filter;
mod template;

pub use clip::{Clip, Sound};
pub use curve::{gain_db, hertz, outline, spectrum_db};
pub use knobs::{Axis, Knobs};
pub use parts::{PartLine, parts};
