//! `dryfit find`

use std::io::{Write, stdout};
use std::ops::ControlFlow;

use dryfit_dsp::circuit;
use dryfit_dsp::document::{Assembly, DocumentKind};
use dryfit_dsp::find::{Effort, Found, Impossible, Outcome, find};
use indicatif::{ProgressBar, ProgressStyle};

use crate::Failure;
use crate::arguments::Find;
use crate::audio::Destination;
use crate::commands::tell;
use crate::documents::Documents;

/// Finds a wiring for a sounds table, and prints it or writes it to a file.
pub fn run(arguments: &Find) -> Result<(), Failure> {
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.guitar)?;
    documents.fetch(DocumentKind::Sounds, &arguments.sounds)?;
    if let Some(switch) = &arguments.switch {
        documents.fetch(DocumentKind::Switch, switch)?;
    }
    refuse_existing(arguments)?;
    let library = documents.library();
    let sounds = library.sounds(&arguments.sounds)?;
    let bar = ProgressBar::new_spinner().with_style(ProgressStyle::default_spinner());
    let mut progress = |wires: usize, tried: u64| {
        if wires > 0 {
            bar.set_message(format!("trying {wires} wires, {tried} cases ruled out"));
            bar.tick();
        }
        ControlFlow::Continue(())
    };
    let effort = Effort { tried: arguments.tries, ..Effort::default() };
    let outcome = find(library, &sounds, &guitar, arguments.switch.as_deref(), effort, &mut progress);
    bar.finish_and_clear();
    match outcome? {
        Outcome::Found(found) => {
            let mut library = library.clone();
            let file = arguments.output.as_ref().map_or("found".into(), |path| path.display().to_string());
            library.insert(DocumentKind::Wiring, "found", &file, &found.wiring);
            let problems = circuit::check(&Assembly::read_on(&library, "found", &guitar)?);
            write(arguments, &found)?;
            tell(summary(&found));
            problems.0.iter().for_each(tell);
            Ok(())
        }
        Outcome::Impossible(impossible) => Err(Failure::Impossible(words(&impossible))),
        Outcome::GivenUp { tried } => Err(Failure::Arguments {
            what: format!("given up after {tried} cases were ruled out: nothing was found, and nothing proved"),
            mend: "ask for less, name a smaller --switch, or allow more with --tries".into(),
        }),
    }
}

fn refuse_existing(arguments: &Find) -> Result<(), Failure> {
    match &arguments.output {
        Some(path) if path.exists() && !arguments.overwrite => Err(Failure::Arguments {
            what: format!("{} is there already", path.display()),
            mend: "name another file, or replace it with --overwrite".into(),
        }),
        _ => Ok(()),
    }
}

fn write(arguments: &Find, found: &Found) -> Result<(), Failure> {
    let Some(path) = &arguments.output else {
        return Ok(stdout().lock().write_all(found.wiring.as_bytes())?);
    };
    let to = Destination { path, takes: &[], overwrite: arguments.overwrite };
    Ok(to.write(|file| file.write_all(found.wiring.as_bytes()))?)
}

fn summary(found: &Found) -> String {
    let (wires, count) = (found.wires, found.how_many());
    let mut text = format!("found: {wires} wires at the switches and leads, {count}, on {}", found.selector);
    for (label, name) in &found.switches {
        text.push_str(&format!(", {label}: {name}"));
    }
    if !found.unused_poles.is_empty() {
        text.push_str(&format!("; left over: {}", found.unused_poles.join(", ")));
    }
    text
}

fn words(impossible: &Impossible) -> String {
    let mut text = format!("no wiring on {} gives this table.\n", impossible.selector);
    for reason in &impossible.reasons {
        text.push_str(&format!("  {reason}\n"));
    }
    text.push_str(&format!("  closed contacts: {}\n    mend: ", impossible.closed_contacts()));
    let instead = impossible.instead.as_ref();
    match instead {
        Some(found) => text.push_str(&format!("--switch {} will do ({} wires)", found.selector, found.wires)),
        None => text.push_str("no known switch will do"),
    }
    if !impossible.give_up.is_empty() {
        text.push_str(&format!("; or give up {}", impossible.give_up.join(", or ")));
    }
    text
}
