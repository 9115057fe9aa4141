//! The sounds that are wanted, and the search for a wiring that gives them.

use std::ops::ControlFlow;

use dryfit_dsp::document::{DocumentKind, Guitar, Library, Problems, Sounds};
use dryfit_dsp::find::{Effort, Outcome, find, problems, read_off};

use super::gestures::Gestures;
use super::history::History;
use super::{App, problems as lines};
use crate::editor::LineProblem;
use crate::errand::{Errand, Told};
use crate::session::{Bench, Document, Wanted};

/// What the user wants found, and what became of it.
#[derive(Debug, Default)]
pub(super) struct Finding {
    /// Rises whenever the table changes otherwise than by typing.
    pub revision: u64,
    /// What was asked for last, and what is wrong with it.
    checked: Option<(Asked, Vec<LineProblem>)>,
    search: Option<(Asked, Errand<Answer>)>,
    /// What the last search was for, and what it came to.
    pub answer: Option<(Asked, Answer)>,
}

/// Everything that a search depends on but the switches that are known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Asked {
    wanted: Wanted,
    guitar: Document,
}

/// What a search came to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Answer {
    /// It ended, or the table cannot be searched.
    Outcome(Box<Result<Outcome, Problems>>),
    /// It ended in a fault of its own.
    Fault,
}

/// How problems call the table.
const FILE: &str = "sounds table";
/// The table that stands there before anybody wrote one.
const EXAMPLE: &str = "five-way-neck-blend";

impl Asked {
    /// Everything that is wrong with asking so.
    fn problems(&self, library: &Library) -> Problems {
        match self.read() {
            Ok((sounds, guitar)) => problems(library, &sounds, &guitar, self.wanted.switch.as_deref()),
            Err(problems) => problems,
        }
    }

    fn read(&self) -> Result<(Sounds, Guitar), Problems> {
        let sounds = Sounds::read(FILE, &self.wanted.sounds)?;
        Ok((sounds, Guitar::read(&self.guitar.name, &self.guitar.text)?))
    }

    fn search(&self, library: &Library, told: &Told) -> Result<Outcome, Problems> {
        let (sounds, guitar) = self.read()?;
        let mut progress = |wires: usize, tried: u64| {
            told.say(wires, tried);
            if told.given_up() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        find(library, &sounds, &guitar, self.wanted.switch.as_deref(), Effort::default(), &mut progress)
    }
}

impl Answer {
    /// The wiring that was found, for this selector or for another one.
    pub fn wiring(&self) -> Option<&str> {
        let Self::Outcome(outcome) = self else { return None };
        match outcome.as_ref() {
            Ok(Outcome::Found(found)) => Some(&found.wiring),
            Ok(Outcome::Impossible(impossible)) => Some(&impossible.instead.as_ref()?.wiring),
            _ => None,
        }
    }
}

impl App {
    /// What is asked for now.
    pub(super) fn asked(&self) -> Asked {
        let project = self.desk.project();
        Asked { wanted: self.wanted(), guitar: project.guitar.clone() }
    }

    /// The sounds that are wanted; an example until somebody wrote them down.
    pub(super) fn wanted(&self) -> Wanted {
        self.desk.project().wanted.clone().unwrap_or_else(|| {
            let text = self.documents.library().text(DocumentKind::Sounds, EXAMPLE);
            Wanted { sounds: text.map(|(_, text)| text.to_string()).unwrap_or_default(), switch: None }
        })
    }

    /// What is wrong with what is asked for; looked up unless something changed.
    pub(super) fn wrong_with(&mut self, asked: &Asked) -> Vec<LineProblem> {
        if let Some((known, lines)) = &self.finding.checked
            && known == asked
        {
            return lines.clone();
        }
        let found = lines::lines(&asked.problems(self.documents.library()));
        self.finding.checked = Some((asked.clone(), found.clone()));
        found
    }

    /// Another table is wanted, taken from somewhere.
    pub(super) fn want_sounds(&mut self, text: &str, host: &mut dyn Gestures) {
        self.finding.revision += 1;
        self.want(Wanted { sounds: text.into(), ..self.wanted() }, "sounds table replaced", host);
    }

    /// The table was typed into.
    pub(super) fn type_sounds(&mut self, text: &str, host: &mut dyn Gestures) {
        self.want(Wanted { sounds: text.into(), ..self.wanted() }, History::TYPED, host);
    }

    pub(super) fn choose_sounds(&mut self, name: &str, host: &mut dyn Gestures) {
        match self.documents.library().text(DocumentKind::Sounds, name).map(|(_, text)| text.to_string()) {
            Ok(text) => self.want_sounds(&text, host),
            Err(problems) => self.trouble = Some(lines::first(&problems)),
        }
    }

    pub(super) fn want_sounds_of(&mut self, bench: Bench, host: &mut dyn Gestures) {
        let (project, step) = (self.desk.project(), self.parameters.controls().step);
        let read = project.read_guitar().and_then(|guitar| project.heard(bench, step).assemble(&guitar));
        let table = read.map_err(|problems| lines::first(&problems)).and_then(|assembly| {
            read_off(&assembly).sounds(&assembly).map_err(|what| format!("a sounds table has no words for it: {what}"))
        });
        match table {
            Ok(table) => self.want_sounds(&table.to_text(), host),
            Err(why) => self.trouble = Some(why),
        }
    }

    pub(super) fn choose_switch(&mut self, switch: Option<String>, host: &mut dyn Gestures) {
        self.want(Wanted { switch, ..self.wanted() }, "selector to be searched", host);
    }

    /// Begins to search. The library goes along, because documents may be added meanwhile.
    pub(super) fn find(&mut self) {
        if self.finding.search.is_some() {
            return;
        }
        let (asked, library) = (self.asked(), self.documents.library().clone());
        let theirs = asked.clone();
        let work = move |told: &Told| Answer::Outcome(Box::new(theirs.search(&library, told)));
        match Errand::start("dryfit-find", work) {
            Ok(errand) => {
                self.finding.answer = None;
                self.finding.search = Some((asked, errand));
            }
            Err(error) => self.trouble = Some(format!("the search cannot begin: the system gives no thread ({error})")),
        }
    }

    pub(super) fn give_up_finding(&self) {
        if let Some((_, errand)) = &self.finding.search {
            errand.give_up();
        }
    }

    /// How far the search is: wires that are tried, cases that were ruled out. None when none goes on.
    pub(super) fn searching(&self) -> Option<(usize, u64)> {
        self.finding.search.as_ref().map(|(_, errand)| errand.told().said())
    }

    /// Takes what a search came to, if it ended; whether one did.
    pub(super) fn take_found(&mut self) -> bool {
        let Some((asked, errand)) = &self.finding.search else { return false };
        let Some(result) = errand.result() else { return false };
        self.finding.answer = Some((asked.clone(), result.unwrap_or(Answer::Fault)));
        self.finding.search = None;
        true
    }

    /// The wiring that was found comes onto a bench: one edit.
    pub(super) fn put_found(&mut self, bench: Bench, host: &mut dyn Gestures) {
        let wiring = self.finding.answer.as_ref().and_then(|(_, answer)| answer.wiring());
        let Some(wiring) = wiring.map(str::to_string) else { return };
        let edited = self.desk.project().with_found(bench, &wiring, self.documents.library());
        self.drafts[bench.index()] = None;
        let letter = if bench == Bench::A { "A" } else { "B" };
        self.finish(format!("found wiring on {letter}"), edited, None, String::new(), host);
    }

    fn want(&mut self, wanted: Wanted, what: &str, host: &mut dyn Gestures) {
        let project = self.desk.project();
        if project.wanted.as_ref() != Some(&wanted) {
            let project = project.with_wanted(wanted);
            self.take_over(what.into(), project, host);
        }
    }
}
