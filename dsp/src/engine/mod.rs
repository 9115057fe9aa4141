//! The real-time ends: convolver, control grid, cross-fades, loudness match, dry / A / B.
//!
//! ```text
//! input ─┬───────────────────────────────────────────── dry ─┐
//!        └─ history, spectra ─┬─ bench A: two slots, fade ─ A ─┼─ listen, match ─ output gain ─ output
//!                             └─ bench B: two slots, fade ─ B ─┘
//! ```
//!
//! [`Engine`] states the contract; [`convolver`] and [`loudness`] are of use alone.

mod bench;
mod buffers;
pub mod convolver;
mod delay;
pub mod loudness;
mod matching;
mod mixer;
mod ramp;
mod runner;
mod scene;

pub use runner::Engine;
pub use scene::{Listen, Scene};
