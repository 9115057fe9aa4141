//! One module per command.

mod audition;
mod bundle;
mod calibrate;
mod check;
mod curve;
mod find;
mod list;
mod render;
mod sheet;
mod survey;

use std::io::{Write, stderr};

use dryfit_dsp::document::Assembly;

use crate::Failure;
use crate::arguments::{Arguments, Command};

/// Runs a command.
///
/// # Errors
/// Why it could not do its work, with what would mend it.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    match &arguments.command {
        Command::Audition(arguments) => audition::run(arguments),
        Command::Render(arguments) => render::run(arguments),
        Command::Curve(arguments) => curve::run(arguments),
        Command::Check(arguments) => check::run(arguments),
        Command::List(arguments) => list::run(arguments),
        Command::Sheet(arguments) => sheet::run(arguments),
        Command::Survey(arguments) => survey::run(arguments),
        Command::Find(arguments) => find::run(arguments),
        Command::Calibrate(arguments) => calibrate::run(arguments),
        Command::Bundle(arguments) => bundle::run(arguments),
    }
}

/// Tells what a technician should look at, though it works.
fn tell_warnings(assembly: &Assembly) {
    for warning in &assembly.warnings.0 {
        tell(warning);
    }
}

/// A line for the person, beside the output. A closed standard error leaves nobody to tell.
fn tell(line: impl std::fmt::Display) {
    let _ = writeln!(stderr(), "{line}");
}
