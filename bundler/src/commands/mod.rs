//! One module per command.

mod check;
mod curve;
mod list;
mod render;

use crate::Failure;
use crate::arguments::{Arguments, Command};

/// Runs a command.
///
/// # Errors
/// Why it could not do its work, with what would mend it.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    match &arguments.command {
        Command::Render(arguments) => render::run(arguments),
        Command::Curve(arguments) => curve::run(arguments),
        Command::Check(arguments) => check::run(arguments),
        Command::List(arguments) => list::run(arguments),
    }
}
