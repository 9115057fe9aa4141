//! One check of the plug-in in a host, in a process of its own: `host-check NAME ASSERTING PLAIN DRYFIT`.
//!
//! Exit codes are those of [`outcome`]; `host-check --list` prints name and sentence of each check.

mod checks;
mod clap_host;
mod everything;
mod outcome;
mod signals;

use std::path::PathBuf;
use std::process::ExitCode;

use outcome::Outcome;

/// What a check gets.
struct Given {
    /// The plug-in as a CLAP, in a build that aborts when `process` allocates.
    plugin: PathBuf,
    /// The same without: where a host errs, the framework itself allocates to say so.
    plain: PathBuf,
    /// The command line, against which samples are compared.
    dryfit: PathBuf,
}

/// A named check with what it shows.
struct Check {
    name: &'static str,
    sentence: &'static str,
    run: fn(&Given) -> Outcome,
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let checks = checks::all();
    match arguments.as_slice() {
        [list] if list == "--list" => {
            checks.iter().for_each(|check| println!("{}\t{}", check.name, check.sentence));
            ExitCode::SUCCESS
        }
        [name, plugin, plain, dryfit] => {
            let Some(check) = checks.iter().find(|check| check.name == name) else {
                eprintln!("there is no check `{name}`");
                return ExitCode::FAILURE;
            };
            (check.run)(&Given { plugin: plugin.into(), plain: plain.into(), dryfit: dryfit.into() }).report()
        }
        _ => {
            eprintln!("host-check --list, or host-check NAME ASSERTING PLAIN DRYFIT");
            ExitCode::FAILURE
        }
    }
}
