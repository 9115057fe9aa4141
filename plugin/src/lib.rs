//! Dryfit as a plug-in: hear, sweep and compare wirings on a dry take in the host.
//!
//! ```text
//! parameters ──────────────┐
//! session (project) ─ compile ─ targets ─> engine (dryfit-dsp) ─> sound
//!        └ editor <─ analysis, taps ┘
//! ```
//!
//! - [`plugin`]: what the host calls; a thin shell around [`dryfit_dsp::engine::Engine`].
//! - [`params`]: what the host may automate; [`text`]: values as text.
//! - [`session`]: everything that is saved, and its edits.
//! - [`compile`]: from a project to targets, on a thread of the instance's own, and over to the audio thread.
//! - [`errand`]: what the user asks for and waits for, on a thread of its own.
//! - [`recorder`]: recording what comes in.
//! - [`taps`]: what the editor sees of the sound.
//! - [`abx`]: blind comparison.
//! - [`app`]: from the bench to what the editor shows, and from what the user did to edits and gestures.
//! - [`editor`]: what is on the screen; [`window`]: the window around it in the host.

// The framework's derive macros name its crate so.
extern crate nih_plug as nice_plug;

pub mod abx;
pub mod app;
pub mod compile;
pub mod editor;
pub mod errand;
mod exports;
pub mod params;
pub mod plugin;
pub mod recorder;
pub mod session;
pub mod taps;
pub mod text;
pub mod window;

pub use plugin::Dryfit;
