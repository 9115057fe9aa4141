//! The command `dryfit`.

use std::io::Write;
use std::process::ExitCode;

use clap::Parser;
use dryfit_bundler::Failure;
use dryfit_bundler::arguments::Arguments;
use dryfit_bundler::commands;

fn main() -> ExitCode {
    match commands::run(&Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure::ReaderGone) => ExitCode::SUCCESS,
        Err(failure) => {
            // A closed standard error leaves nobody to tell.
            let _ = writeln!(std::io::stderr(), "{failure}");
            ExitCode::FAILURE
        }
    }
}
