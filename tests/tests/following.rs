//! Specification of `following`: what it changes, what it must not change, and how it runs. What it is worth is in
//! `ground_truth.rs`.

/// The same samples however it is run.
#[path = "following/running.rs"]
mod running;

/// Heard later than it comes, and in step with everything else.
#[path = "following/latency.rs"]
mod latency;

/// What is no guitar, or nearly nothing.
#[path = "following/level.rs"]
mod level;

/// What does not change.
#[path = "following/steady.rs"]
mod steady;

/// What it is worth where there is least to go by.
#[path = "following/takes.rs"]
mod takes;

/// Which string it hears.
#[path = "following/naming.rs"]
mod naming;

/// Takes and engines to try it with.
#[path = "following/stage.rs"]
mod stage;
