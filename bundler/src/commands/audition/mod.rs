//! `dryfit audition`

mod answering;
mod asked;
mod levels;
mod making;
mod plan;
mod surveying;
mod takes;
mod telling;
mod writing;

use crate::Failure;
use crate::arguments::Audition;

/// Makes a page, or reads the answers that came back from one.
pub fn run(arguments: &Audition) -> Result<(), Failure> {
    if arguments.answers.is_empty() { making::run(arguments) } else { answering::run(arguments) }
}
