//! How a check ended.

use std::io::Read;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How a check ended, with what it said.
pub enum Outcome {
    Passed(String),
    Warning(String),
    Skipped(String),
    Failed(String),
    Crashed(String),
}

/// Longer takes no check on a machine that does nothing else; what hangs has failed.
const LONGEST: Duration = Duration::from_secs(420);
const WARNING: i32 = 10;
const SKIPPED: i32 = 77;

impl Outcome {
    /// In one word.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Passed(_) => "passed",
            Self::Warning(_) => "warning",
            Self::Skipped(_) => "skipped",
            Self::Failed(_) => "failed",
            Self::Crashed(_) => "crashed",
        }
    }

    /// What it said, a line each, drawn in.
    pub fn details(&self) -> String {
        let (Self::Passed(said) | Self::Warning(said) | Self::Skipped(said) | Self::Failed(said) | Self::Crashed(said)) =
            self;
        said.lines().filter(|line| !line.trim().is_empty()).map(|line| format!("{:<10}{line}\n", "")).collect()
    }
}

/// Carries out a check in its own process.
pub fn run(command: &mut Command) -> Outcome {
    let child = command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
    let mut child = match child {
        Ok(child) => child,
        Err(error) => return Outcome::Skipped(error.to_string()),
    };
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let out = std::thread::spawn(move || read(&mut out));
    let err = std::thread::spawn(move || read(&mut err));
    let start = Instant::now();
    let status = loop {
        match child.try_wait().unwrap() {
            Some(status) => break Some(status),
            None if start.elapsed() > LONGEST => {
                child.kill().unwrap();
                child.wait().unwrap();
                break None;
            }
            None => std::thread::sleep(Duration::from_millis(20)),
        }
    };
    let (out, err) = (out.join().unwrap(), err.join().unwrap());
    let Some(status) = status else {
        return Outcome::Failed(format!("not done after {LONGEST:?}\n{out}\n{}", tail(&err)));
    };
    match status.code() {
        Some(0) => Outcome::Passed(out),
        Some(WARNING) => Outcome::Warning(out),
        Some(SKIPPED) => Outcome::Skipped(out),
        Some(_) => Outcome::Failed(format!("{out}\n{}", tail(&err))),
        None => Outcome::Crashed(format!("{status}\n{out}\n{}", tail(&err))),
    }
}

fn read(source: &mut impl Read) -> String {
    let mut bytes = Vec::new();
    source.read_to_end(&mut bytes).unwrap();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The last lines, which is where a panic or a traceback says what it was.
fn tail(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    lines[lines.len().saturating_sub(30)..].join("\n")
}
