//! From a sounds table to a wiring, or to the reason why there is none.

use std::ops::ControlFlow;

use super::clauses::Progress;
use super::proof::{self, Impossible};
use super::request::{check, choose};
use super::search::{Limits, Searched, possible, search};
use super::task::Task;
use super::wish::{Chosen, Plan, Row, plans, rows};
use super::writing;
use crate::document::{DocumentKind, Guitar, Library, Problems, Sounds, Switch, SwitchKind};

/// What a search came to.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// A wiring that gives exactly the table.
    Found(Found),
    /// There is none with that switch, and why.
    Impossible(Impossible),
    /// The search was given up before everything was tried.
    GivenUp {
        /// Contradictions that were met.
        tried: u64,
    },
}

/// A wiring that gives exactly the table, with the fewest wires that were found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The wiring document, as text.
    pub wiring: String,
    /// The selector's document.
    pub selector: String,
    /// Documents of the switches beside the selector, with their labels.
    pub switches: Vec<(String, String)>,
    /// Wires at the lugs of the switches and between leads; what sits on every such wiring (the volume, the jack) is not counted.
    pub wires: usize,
    /// So many wires it takes at least; where that is fewer than `wires`, the search ended before it knew whether fewer would do.
    pub at_least: usize,
    /// How many wirings give the table with so few wires; poles that are alike count once.
    pub solutions: usize,
    /// Whether these are all, or the search stopped counting.
    pub all_counted: bool,
    /// Poles of which no lug is used, as `selector b`.
    pub unused_poles: Vec<String>,
    /// Contradictions that were met.
    pub tried: u64,
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Most contradictions that are met with one selector.
    pub tried: u64,
    /// Most solutions that are counted.
    pub solutions: usize,
}

impl Default for Effort {
    /// About a second at most for each selector that is tried.
    fn default() -> Self {
        Self { tried: 30_000, solutions: 1000 }
    }
}

/// Finds a wiring for a sounds table on a guitar with a selector (a switch document's name); without one, with the smallest
/// selector that will do.
///
/// The search is exhaustive over what may be joined to each lug of the switches and to the leads of pickups and knobs. Given are:
/// the volume between the hot joint and the jack; a tone that acts everywhere on the hot joint; one end of a blend on its pickup's
/// hot lead; a pickup's ground lead on ground unless the table has it reversed or in series; and one order for the pickups of a
/// chain wherever it sounds. No pickup and no jack is ever shorted, whatever the table leaves open.
///
/// A wire between two throws of one switch alone is the same as one from the one to the other's common lug, and is not tried. Where the effort ends before it is known whether fewer wires would do, `at_least` is fewer than `wires`.
///
/// `progress` hears the number of wires that is being tried and how many contradictions were met, and may end the search. What
/// was found by then is [`Outcome::Found`] all the same; a proof that was begun is [`Outcome::GivenUp`].
///
/// # Errors
/// Everything that is wrong with the table, the guitar or the switch.
pub fn find(
    library: &Library,
    sounds: &Sounds,
    guitar: &Guitar,
    selector: Option<&str>,
    effort: Effort,
    progress: &mut Progress<'_>,
) -> Result<Outcome, Problems> {
    let mut given_up = false;
    let mut heard = |wires: usize, tried: u64| {
        given_up = given_up || progress(wires, tried).is_break();
        if given_up { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    };
    let outcome = match selector {
        Some(selector) => find_with(library, sounds, guitar, selector, effort, &mut heard),
        None => find_any(library, sounds, guitar, effort, &mut heard),
    };
    match outcome? {
        // What was left untried might have helped.
        Outcome::Impossible(Impossible { tried, .. }) if given_up => Ok(Outcome::GivenUp { tried }),
        outcome => Ok(outcome),
    }
}

/// Everything that is wrong with asking for a table on a guitar with a selector (without one: with the smallest that has as many
/// positions), found out without a search.
pub fn problems(library: &Library, sounds: &Sounds, guitar: &Guitar, selector: Option<&str>) -> Problems {
    let smallest = || selectors(library, sounds.positions.len()).into_iter().next();
    let selector = selector.map(str::to_string).or_else(smallest);
    match choose(library, sounds, selector.as_deref().unwrap_or(ORDINARY)) {
        Ok(switches) => check(sounds, guitar, &switches),
        Err(problems) => problems,
    }
}

/// With the smallest selector that will do.
fn find_any(
    library: &Library,
    sounds: &Sounds,
    guitar: &Guitar,
    effort: Effort,
    progress: &mut Progress<'_>,
) -> Result<Outcome, Problems> {
    let candidates = selectors(library, sounds.positions.len());
    let mut last = None;
    for name in &candidates {
        let outcome = find_with(library, sounds, guitar, name, effort, progress)?;
        if matches!(outcome, Outcome::Found(_)) {
            return Ok(outcome);
        }
        last = Some(outcome);
    }
    match last {
        Some(outcome) => Ok(outcome),
        // No selector has as many positions: the ordinary one says so.
        None => find_with(library, sounds, guitar, ORDINARY, effort, progress),
    }
}

/// The selector that is meant where none has the table's number of positions.
const ORDINARY: &str = "lever-5-position";

/// Selectors with so many positions, those with the fewest poles and lugs first.
pub(super) fn selectors(library: &Library, positions: usize) -> Vec<String> {
    let names: Vec<String> = library.names(DocumentKind::Switch).map(str::to_string).collect();
    let read = |name: String| Some((library.switch(&name).ok()?, name));
    let fits = |switch: &Switch| switch.kind == SwitchKind::Selector && switch.positions.len() == positions;
    let mut fitting: Vec<(Switch, String)> =
        names.into_iter().filter_map(read).filter(|(switch, _)| fits(switch)).collect();
    fitting.sort_by_key(|(switch, name)| (switch.poles.len(), switch.lugs().count(), name.clone()));
    fitting.into_iter().map(|(_, name)| name).collect()
}

fn find_with(
    library: &Library,
    sounds: &Sounds,
    guitar: &Guitar,
    selector: &str,
    effort: Effort,
    progress: &mut Progress<'_>,
) -> Result<Outcome, Problems> {
    let switches = choose(library, sounds, selector)?;
    let problems = check(sounds, guitar, &switches);
    if problems.any_error() {
        return Err(problems);
    }
    let case = Case::new(sounds, guitar, switches);
    let Solved { found, tried, cut_short } = case.solve(effort, progress);
    Ok(match found {
        Some(found) => Outcome::Found(found),
        None => match proof::prove(library, &case, effort, (tried, cut_short), progress) {
            Some(impossible) => Outcome::Impossible(impossible),
            None => Outcome::GivenUp { tried },
        },
    })
}

/// What solving a case came to.
pub(super) struct Solved {
    /// The best wiring.
    pub found: Option<Found>,
    /// Contradictions that were met.
    pub tried: u64,
    /// Whether the search ended before anything was found and everything tried.
    pub cut_short: bool,
}

/// One table with one set of switches.
#[derive(Debug, Clone)]
pub(super) struct Case<'a> {
    pub sounds: &'a Sounds,
    pub guitar: &'a Guitar,
    pub switches: Vec<Chosen>,
    pub rows: Vec<Row>,
}

impl<'a> Case<'a> {
    pub fn new(sounds: &'a Sounds, guitar: &'a Guitar, switches: Vec<Chosen>) -> Self {
        let names: Vec<String> = guitar.pickups.iter().map(|pickup| pickup.name.clone()).collect();
        let rows = rows(sounds, &names, &switches);
        Self { sounds, guitar, switches, rows }
    }

    pub fn plans(&self) -> Vec<Plan> {
        plans(self.sounds, self.guitar, &self.switches, &self.rows)
    }

    /// Whether there is a wiring; not if that is not found out.
    pub fn possible(&self, effort: Effort, progress: &mut Progress<'_>) -> bool {
        let limits = Limits { tried: effort.tried, solutions: 1 };
        self.plans().iter().any(|plan| !proof::never(&plan.task) && possible(&plan.task, limits, progress))
    }

    /// The best wiring.
    pub fn solve(&self, effort: Effort, progress: &mut Progress<'_>) -> Solved {
        let mut tried = 0;
        let mut best: Option<(Plan, Searched)> = None;
        for plan in self.plans() {
            if proof::never(&plan.task) {
                continue;
            }
            let limits = Limits { tried: effort.tried.saturating_sub(tried), solutions: effort.solutions };
            let most = best.as_ref().map(|(_, searched)| searched.wires);
            let searched = search(&plan.task, limits, most, progress);
            tried += searched.tried;
            let stopped = !searched.exhausted;
            best = merge(best, (plan, searched));
            if stopped && best.is_none() {
                return Solved { found: None, tried, cut_short: true };
            }
        }
        let found = best.map(|(plan, searched)| self.found(&plan, &searched, tried));
        Solved { found, tried, cut_short: false }
    }

    fn found(&self, plan: &Plan, searched: &Searched, tried: u64) -> Found {
        let nets = &searched.solutions[0];
        let labelled = |chosen: &Chosen| Some((chosen.label.clone()?, chosen.name.clone()));
        Found {
            wiring: writing::write(plan, nets, self.sounds, &self.switches),
            selector: self.switches[0].name.clone(),
            switches: self.switches.iter().filter_map(labelled).collect(),
            wires: searched.wires,
            at_least: searched.at_least,
            solutions: searched.counted,
            all_counted: searched.exhausted,
            unused_poles: unused_poles(&plan.task, nets, &self.switches),
            tried,
        }
    }
}

/// The better of two: fewer wires, or more solutions with as many.
fn merge(best: Option<(Plan, Searched)>, (plan, mut searched): (Plan, Searched)) -> Option<(Plan, Searched)> {
    if searched.solutions.is_empty() {
        return best;
    }
    match best {
        Some((_, known)) if searched.wires < known.wires => Some((plan, searched)),
        Some((known_plan, mut known)) => {
            if known.wires == searched.wires {
                known.counted += std::mem::take(&mut searched.counted);
                known.exhausted &= searched.exhausted;
            }
            Some((known_plan, known))
        }
        None => Some((plan, searched)),
    }
}

fn unused_poles(task: &Task, nets: &[u64], switches: &[Chosen]) -> Vec<String> {
    let names = switches.iter().flat_map(|chosen| {
        let part = chosen.label.as_deref().unwrap_or("selector");
        chosen.switch.poles.iter().map(move |pole| format!("{part} {}", pole.name))
    });
    let used = |lug: &usize| nets.iter().any(|net| net >> lug & 1 == 1 && net.count_ones() > 1);
    let unused = task.poles.iter().zip(names).filter(|(pole, _)| !pole.lugs.iter().any(used));
    unused.map(|(_, name)| name).collect()
}
