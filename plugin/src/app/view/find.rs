//! The sounds that are wanted, and what a search made of them, in words.

use dryfit_dsp::document::Library;
use dryfit_dsp::find::{Found, Impossible, Outcome};

use crate::app::finding::Answer;
use crate::app::{App, problems};
use crate::editor::{DocumentView, FindView, FoundWords, Search, Severity};

/// All of it. What is wrong with the table is looked up only where it changed.
pub(super) fn view(app: &mut App) -> FindView {
    let asked = app.asked();
    let problems = app.wrong_with(&asked);
    let wanted = app.wanted();
    FindView {
        ready: problems.iter().all(|problem| problem.severity < Severity::Error),
        selector: wanted.switch,
        document: DocumentView {
            from: String::new(),
            text: wanted.sounds,
            revision: app.finding.revision,
            problems,
            sounding: true,
        },
        search: search(app),
    }
}

/// How the search goes. Cheap, because it is asked for every picture.
pub(super) fn search(app: &App) -> Search {
    match (app.searching(), &app.finding.answer) {
        (Some((0, _)), _) => Search::Running("searching …".into()),
        (Some((wires, tried)), _) => Search::Running(format!("trying {wires} wires, {tried} cases ruled out")),
        (None, Some((asked, answer))) => {
            let words = words(answer, app.documents.library());
            Search::Done(FoundWords { outdated: *asked != app.asked(), wiring: answer.wiring().is_some(), ..words })
        }
        (None, None) => Search::Idle,
    }
}

fn words(answer: &Answer, library: &Library) -> FoundWords {
    let verdict = |verdict: String| FoundWords { verdict, ..FoundWords::default() };
    let Answer::Outcome(outcome) = answer else {
        return verdict("The search ended in a fault of Dryfit's own. The sound is not touched by it.".into());
    };
    match outcome.as_ref() {
        Ok(Outcome::Found(found)) => found_words(found, library),
        Ok(Outcome::Impossible(impossible)) => impossible_words(impossible, library),
        Ok(Outcome::GivenUp { tried }) => FoundWords {
            verdict: format!("Given up after {tried} cases were ruled out: nothing was found, and nothing is proved."),
            advice: vec!["Ask for less, or name a selector with fewer poles.".into()],
            ..FoundWords::default()
        },
        Err(found) => verdict(format!("The table cannot be searched: {}.", problems::first(found))),
    }
}

fn found_words(found: &Found, library: &Library) -> FoundWords {
    let verdict = format!("Found: {} wires at the switches and leads, {}.", found.wires, found.how_many());
    let proved = match found.at_least {
        least if least == found.wires => "That fewer would do is ruled out.".into(),
        least => format!("Fewer than {least} are ruled out; the search ended before it was through."),
    };
    let mut reasons = vec![takes(found, library), proved];
    if !found.unused_poles.is_empty() {
        reasons.push(format!("Left over: {}.", found.unused_poles.join(", ")));
    }
    FoundWords { verdict, reasons, ..FoundWords::default() }
}

/// Which switches it takes.
fn takes(found: &Found, library: &Library) -> String {
    let mut text = format!("It takes the selector \"{}\"", title(library, &found.selector));
    for (label, name) in &found.switches {
        text.push_str(&format!(", and for {label} \"{}\"", title(library, name)));
    }
    text + "."
}

fn impossible_words(impossible: &Impossible, library: &Library) -> FoundWords {
    let mut reasons = impossible.reasons.clone();
    reasons.push(format!("Its closed contacts: {}.", impossible.closed_contacts()));
    let mut advice = Vec::new();
    advice.push(match &impossible.instead {
        Some(found) => {
            format!(
                "The smallest known selector that will do is \"{}\" ({} wires).",
                title(library, &found.selector),
                found.wires
            )
        }
        None => "No known selector was found that will do.".into(),
    });
    if !impossible.give_up.is_empty() {
        advice.push(format!("Or give up {}.", impossible.give_up.join(", or ")));
    }
    let verdict = format!("No wiring on \"{}\" gives this table.", title(library, &impossible.selector));
    FoundWords { verdict, reasons, advice, ..FoundWords::default() }
}

/// What a switch is called for people.
fn title(library: &Library, name: &str) -> String {
    let title = library.switch(name).map(|switch| switch.title);
    title.unwrap_or_else(|_| name.into())
}
