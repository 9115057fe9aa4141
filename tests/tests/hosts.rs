//! The plug-in in hosts: CLAP in a small host of our own (`tests/hosts/`, on `clack-host`), VST3 in `pedalboard` and
//! `dawdreamer` (`tests/hosts/checks.py`). One process a check, so that a crash is an outcome like the others.
//!
//! The Python hosts come from `tests/hosts/requirements.txt`, in a virtual environment `target/hosts-venv`; without it their
//! checks are skipped, which is a failure in CI.

#[path = "hosts/build.rs"]
mod build;
#[path = "hosts/outcome.rs"]
mod outcome;

use std::io::Write;
use std::path::PathBuf;
use std::process::Command;
use std::sync::Mutex;

use build::Built;
use outcome::{Outcome, run};

/// One check to carry out.
struct Check {
    name: String,
    sentence: String,
    command: Command,
}

#[test]
fn every_host_check_ends_as_it_should() {
    let built = build::build();
    let mut checks = clap_checks(&built);
    checks.extend(vst3_checks(&built));
    assert!(checks.len() > 30, "only {} checks were found", checks.len());
    let queue = Mutex::new(checks.into_iter());
    let table = Mutex::new(Vec::new());
    // Two at a time: as many as CI has cores.
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let next = queue.lock().unwrap().next();
                    let Some(mut check) = next else { break };
                    let outcome = run(&mut check.command);
                    // Straight to standard error: the table is for people, also where all is well.
                    let line = format!("{:<9} {:<24} {}\n", outcome.word(), check.name, check.sentence);
                    let line = line + &outcome.details();
                    std::io::stderr().write_all(line.as_bytes()).unwrap();
                    table.lock().unwrap().push((check.name, outcome));
                }
            });
        }
    });
    let table = table.into_inner().unwrap();
    let in_ci = std::env::var_os("CI").is_some_and(|ci| ci == "true");
    let bad = |outcome: &Outcome| match outcome {
        Outcome::Passed(_) | Outcome::Warning(_) => false,
        Outcome::Skipped(_) => in_ci,
        Outcome::Failed(_) | Outcome::Crashed(_) => true,
    };
    let bad: Vec<_> = table.iter().filter(|(_, outcome)| bad(outcome)).map(|(name, _)| name).collect();
    assert!(bad.is_empty(), "{} of {} checks: {bad:?}", bad.len(), table.len());
}

fn clap_checks(built: &Built) -> Vec<Check> {
    let program = env!("CARGO_BIN_EXE_host-check");
    let command = |name: &str| {
        let mut command = Command::new(program);
        command.arg(name).args([&built.asserting, &built.plain, &built.dryfit]);
        command
    };
    listed(Command::new(program), command)
}

fn vst3_checks(built: &Built) -> Vec<Check> {
    let script = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("hosts/checks.py");
    let python = build::python();
    let mut list = Command::new(&python);
    list.arg(&script);
    let command = |name: &str| {
        let mut command = Command::new(&python);
        command.arg(&script).arg(name).args([&built.vst3, &built.dryfit]);
        command
    };
    listed(list, command)
}

/// The checks that a program lists, each with the command that carries it out.
fn listed(mut program: Command, command: impl Fn(&str) -> Command) -> Vec<Check> {
    let output = program.arg("--list").output().expect("the checks are listed");
    let list = String::from_utf8(output.stdout).unwrap();
    let check = |line: &str| {
        let (name, sentence) = line.split_once('\t')?;
        Some(Check { name: name.into(), sentence: sentence.into(), command: command(name) })
    };
    list.lines().filter_map(check).collect()
}
