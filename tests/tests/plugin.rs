//! Specification of the plug-in's logic: what is on the bench, how it is compiled, blind comparison. What hosts see of it is
//! in `hosts.rs`.

/// The project and its edits.
#[path = "plugin/session.rs"]
mod session;

/// A project as text, whoever wrote it.
#[path = "plugin/saved.rs"]
mod saved;

/// Compiling while it plays, and the way to the audio thread.
#[path = "plugin/compiling.rs"]
mod compiling;

/// Blind comparison.
#[path = "plugin/blind.rs"]
mod blind;

/// What the editor shows, and what the user does.
#[path = "plugin/app.rs"]
mod app;

/// From the sounds that are wanted to a wiring on a bench.
#[path = "plugin/finding.rs"]
mod finding;

/// Meter readings, and the fault behind them.
#[path = "plugin/faults.rs"]
mod faults;

/// Which strings and frets are heard.
#[path = "plugin/heard.rs"]
mod heard;

/// The guitar, measured and recorded.
#[path = "plugin/calibration.rs"]
mod calibration;

/// Parameters as text and in double precision.
#[path = "plugin/values.rs"]
mod values;
