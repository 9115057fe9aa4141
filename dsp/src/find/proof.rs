//! Why a table cannot be had with a switch, in the trade's words.

use super::bound::{Bound, clash};
use super::clauses::Progress;
use super::finder::{Case, Effort, Found, selectors};
use super::request::{check, choose};
use super::task::{HOT, State, Task};
use crate::document::{KnobAction, Library, Switch};

/// Why there is no wiring, and what to do about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Impossible {
    /// The selector that was asked for.
    pub selector: String,
    /// Which wishes collide, and on what; one sentence or two each.
    pub reasons: Vec<String>,
    /// Which contact of the selector is closed in which positions.
    pub contacts: Vec<(String, Vec<u8>)>,
    /// Contradictions that the search met; 0 when the reasons alone prove it.
    pub tried: u64,
    /// The smallest known selector that would do, with its wiring.
    pub instead: Option<Found>,
    /// Single wishes without which the selector asked for would do.
    pub give_up: Vec<String>,
}

/// The proof; none when the search was cut short, so that nothing is proved.
pub(super) fn prove(
    library: &Library,
    case: &Case<'_>,
    effort: Effort,
    (tried, cut_short): (u64, bool),
    progress: &mut Progress<'_>,
) -> Option<Impossible> {
    let plans = case.plans();
    let mut reasons: Vec<String> = plans.first().map(|plan| collisions(case, &plan.task)).unwrap_or_default();
    let proved = plans.iter().all(|plan| never(&plan.task));
    if !proved && cut_short {
        return None;
    }
    if reasons.is_empty() {
        reasons.push(format!(
            "Whatever is joined to its lugs contradicts this table ({tried} cases were ruled out{}).",
            condition(case)
        ));
    }
    Some(Impossible {
        selector: case.switches[0].name.clone(),
        reasons,
        contacts: contacts(&case.switches[0].switch),
        tried,
        instead: instead(library, case, effort, progress),
        give_up: give_up(case, effort, progress),
    })
}

/// Whether two wishes collide whatever is joined, so that there is no need to search.
pub(super) fn never(task: &Task) -> bool {
    let mut none = |_: &State, _: &State, _: (usize, usize)| {};
    each_collision(task, &mut none) || short_of_contacts(task).is_some()
}

/// Calls for every pair of leads that one state joins and another must hold apart, although every contact that is closed in the one
/// is closed in the other. Says whether there was one.
fn each_collision(task: &Task, found: &mut Told<'_>) -> bool {
    let mut any = false;
    for one in task.states.iter().filter(|state| !state.free) {
        let stays = |other: &&State| {
            let within = |contact: &u64| other.contacts.iter().any(|wider| contact & !wider == 0);
            one.contacts.iter().all(within)
        };
        for other in task.states.iter().filter(|other| !other.free).filter(stays) {
            for class in &one.classes {
                let leads: Vec<usize> = super::nets::bits(*class).collect();
                for (i, &a) in leads.iter().enumerate() {
                    for &b in leads[..i].iter().filter(|&&b| clash(task, other, a, b)) {
                        any = true;
                        found(one, other, (b, a));
                    }
                }
            }
        }
    }
    any
}

/// Hears the state that joins two leads, the one that must hold them apart, and the leads.
type Told<'a> = dyn FnMut(&State, &State, (usize, usize)) + 'a;

/// A position that needs more contacts of the selector than there are: the position, from 0, how many, and how many there are.
fn short_of_contacts(task: &Task) -> Option<(usize, usize, usize)> {
    let bound = Bound::new(task, Some(0));
    let needed = (0..task.positions).map(|position| bound.contacts(0, &[position]));
    let lugs: u64 = task.poles_of(0).flat_map(|pole| &pole.lugs).fold(0, |set, lug| set | 1 << lug);
    needed.enumerate().find_map(|(position, needed)| {
        let state = task.states.iter().find(|state| state.position == position)?;
        // A contact of n lugs makes n - 1 merges.
        let most: usize =
            state.contacts.iter().map(|contact| (contact & lugs).count_ones().saturating_sub(1) as usize).sum();
        (needed > most).then_some((position, needed, most))
    })
}

fn collisions(case: &Case<'_>, task: &Task) -> Vec<String> {
    let (mut plain, mut others): (Vec<String>, Vec<String>) = Default::default();
    each_collision(task, &mut |one, other, pair| {
        let (here, there) = (standing(case, one), standing(case, other));
        let wish = wish(case, task, pair, &here, &there);
        let reason = format!(
            "{wish}. But every contact that is closed {here} ({}) is closed {there} as well, so what it joins stays joined.",
            closed(case, one)
        );
        let reasons = if pair.0 == HOT { &mut plain } else { &mut others };
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    });
    // What collides at the hot joint tells it all; what the leads do among themselves only repeats it.
    let mut reasons = if plain.is_empty() { others } else { plain };
    if let Some((position, needed, most)) = short_of_contacts(task) {
        let sound = case.sounds.positions.get(position).map(ToString::to_string).unwrap_or_default();
        reasons.push(format!(
            "Position {} ({sound}) has to make {needed} joints that other positions must not have, each by a contact of its own; \
             the switch closes {most} there{}.",
            position + 1,
            condition(case)
        ));
    }
    reasons.truncate(MOST_REASONS);
    reasons
}

/// What a proof about a table with a blend takes for granted; that a contact is closed in two positions needs no such thing.
fn condition(case: &Case<'_>) -> &'static str {
    let blends = case.sounds.knobs.iter().any(|knob| matches!(knob.action, KnobAction::Blend { .. }));
    if blends { "; it is taken for granted that a blend has one end on the pickup that it feeds in" } else { "" }
}

/// More collisions than these say nothing new.
const MOST_REASONS: usize = 6;

/// `The neck is to be on in position 3 and off in position 2`.
fn wish(case: &Case<'_>, task: &Task, (a, b): (usize, usize), here: &str, there: &str) -> String {
    let name = &task.elements[b];
    if a != HOT {
        return format!("`{}` must be joined to `{name}` {here} and not {there}", task.elements[a]);
    }
    let knob = case.sounds.knobs.iter().find(|knob| *name == format!("{}.2", knob.label));
    match (knob.map(|knob| (&knob.label, &knob.action)), name.strip_suffix(".hot")) {
        (Some((label, KnobAction::Blend { pickup })), _) => {
            format!("`{label}` is to blend the {pickup} in {here}, but not {there}")
        }
        (Some((label, _)), _) => format!("`{label}` is to act {here}, but not {there}"),
        (None, Some(pickup)) => format!("The {pickup} is to be on {here} and off {there}"),
        _ => format!("`{name}` must be joined to the hot joint {here} and not {there}"),
    }
}

/// `in position 2 with series up`.
fn standing(case: &Case<'_>, state: &State) -> String {
    let row =
        case.rows.iter().find(|row| usize::from(row.position) == state.position + 1 && row.setting == state.setting);
    let mut words = format!("in position {}", state.position + 1);
    for (chosen, &standing) in case.switches.iter().zip(row.map_or(&[][..], |row| &row.standing)).skip(1) {
        let name = chosen.switch.positions[standing].name.clone().unwrap_or_else(|| (standing + 1).to_string());
        words.push_str(&format!(" with {} {name}", chosen.label.as_deref().unwrap_or_default()));
    }
    words
}

/// The selector's closed contacts in a state: `a-a1, b-b1`.
fn closed(case: &Case<'_>, state: &State) -> String {
    let position = &case.switches[0].switch.positions[state.position];
    position.joined.iter().map(|group| group.join("-")).collect::<Vec<_>>().join(", ")
}

/// Every contact of a switch with the positions in which it is closed: a pole's common lug with each throw.
fn contacts(switch: &Switch) -> Vec<(String, Vec<u8>)> {
    let mut contacts: Vec<(String, Vec<u8>)> = Vec::new();
    for pole in &switch.poles {
        for throw in pole.lugs.iter().skip(1) {
            let has = |position: &crate::document::SwitchPosition| {
                position.joined.iter().any(|group| group.contains(&pole.lugs[0]) && group.contains(throw))
            };
            let numbered = (1u8..).zip(&switch.positions).filter(|(_, position)| has(position));
            contacts.push((format!("{}-{throw}", pole.lugs[0]), numbered.map(|(number, _)| number).collect()));
        }
    }
    contacts
}

/// The smallest other selector that would do.
fn instead(library: &Library, case: &Case<'_>, effort: Effort, progress: &mut Progress<'_>) -> Option<Found> {
    let names = selectors(library, case.sounds.positions.len());
    let others = names.iter().filter(|name| **name != case.switches[0].name);
    others.into_iter().find_map(|name| {
        let switches = choose(library, case.sounds, name).ok()?;
        if check(case.sounds, case.guitar, &switches).any_error() {
            return None;
        }
        Case::new(case.sounds, case.guitar, switches).solve(effort, progress).found
    })
}

/// Single wishes without which there is a wiring.
fn give_up(case: &Case<'_>, effort: Effort, progress: &mut Progress<'_>) -> Vec<String> {
    let effort = Effort { tried: effort.tried / 20, solutions: 1 };
    let mut words = Vec::new();
    for (number, sound) in (1u8..).zip(&case.sounds.positions) {
        let mut without = case.clone();
        without.rows.iter_mut().filter(|row| row.position == number).for_each(|row| row.network = None);
        if without.possible(effort, progress) {
            words.push(format!("what position {number} does ({sound})"));
        }
    }
    for (knob, wish) in case.sounds.knobs.iter().enumerate() {
        for row_position in (1u8..=u8::MAX).take(case.sounds.positions.len()) {
            let acts = |row: &super::wish::Row| row.actions[knob].as_ref().is_some_and(|a| *a != KnobAction::Nothing);
            if matches!(wish.action, KnobAction::Volume | KnobAction::Nothing) {
                continue;
            }
            let mut without = case.clone();
            let here = |row: &&mut super::wish::Row| row.position == row_position;
            without.rows.iter_mut().filter(here).for_each(|row| row.actions[knob] = None);
            if without.possible(effort, progress) {
                let acts = case.rows.iter().any(|row| row.position == row_position && acts(row));
                let does = if acts { "acts" } else { "does nothing" };
                words.push(format!("that `{}` {does} in position {row_position}", wish.label));
            }
        }
    }
    words
}
