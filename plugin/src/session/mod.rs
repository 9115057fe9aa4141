//! What the user has on the bench: one plain, comparable, versioned value, and the edits that make another of it.
//!
//! A [`Project`] holds documents as text, never names only, so that it sounds the same on any machine. Every edit
//! returns a new project that was checked, or the [`Problems`](dryfit_dsp::document::Problems) that keep it from being
//! one; the old project stays as it is.

mod edit;
mod first_run;
mod problem;
mod project;
mod saved;
mod setup;
mod tray;
mod wanted;

pub use problem::{conversion_problem, problem};
pub use project::{Bench, Project, Recorded};
pub use saved::{FORMAT, Unreadable};
pub use setup::{Document, Setup};
pub use tray::{Tray, TrayPart, Tried};
pub use wanted::Wanted;
