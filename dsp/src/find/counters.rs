//! Counts of wires, and what is known of them before any search.

use std::collections::BTreeMap;

use batsat::Lit;

use super::bound::Bound;
use super::clauses::Clauses;
use super::joints::Joints;
use super::task::{Pole, Task};

/// Counts wires: number k (from 0) is true when there are more than k.
///
/// A net of n elements takes n - 1 wires: all but one are counted. That one is a lead if there is one, or else a lug that many
/// positions share, so that lugs which do their work in one position are counted with that position; of these it is known how many
/// there are at least.
pub(super) fn count(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) -> Vec<Lit> {
    let bound = Bound::new(task, None);
    let mut order: Vec<usize> = (0..task.elements.len()).collect();
    order.sort_by_key(|&element| (group(task, element), element));
    let mut groups: BTreeMap<Group, Vec<Lit>> = BTreeMap::new();
    for (place, &element) in order.iter().enumerate() {
        let wired = clauses.consequence();
        for joint in order[..place].iter().filter_map(|&earlier| joints.of(earlier, element)) {
            clauses.add(&[!joint, wired]);
        }
        groups.entry(group(task, element)).or_default().push(wired);
    }
    let mut by_position: Vec<(Vec<usize>, Vec<Lit>)> = (0..task.positions).map(|at| (vec![at], Vec::new())).collect();
    let mut lasting = Vec::new();
    for (group, wired) in groups {
        let counter = clauses.sum_of_all(wired.into_iter().map(|wired| vec![wired]).collect());
        match group {
            (3, position) => by_position[position].1 = counter,
            _ => lasting.push(counter),
        }
    }
    let lasting = clauses.sum_of_all(lasting);
    let by_position = sum_of_contacts(task, &bound, 0, by_position, clauses);
    for switch in 1..=task.poles.iter().map(|pole| pole.switch).max().unwrap_or(0) {
        let counters = by_standing(task, joints, switch, clauses);
        sum_of_contacts(task, &bound, switch, counters, clauses);
    }
    clauses.sum(&lasting, &by_position)
}

/// Leads, then lugs that many positions share by their part, then those of one position by that position.
type Group = (usize, usize);

fn group(task: &Task, element: usize) -> Group {
    if element < task.leads {
        return (0, 0);
    }
    let pole = task.poles.iter().position(|pole| pole.lugs.contains(&element)).unwrap_or(0);
    let closed = |position: usize| {
        let here = task.states.iter().filter(|state| state.position == position);
        here.flat_map(|state| &state.contacts).any(|contact| contact >> element & 1 == 1)
    };
    let closed: Vec<usize> = (0..task.positions).filter(|&position| closed(position)).collect();
    match closed[..] {
        [position] => (3, position),
        _ if task.poles[pole].switch == 0 => (2, 0),
        _ => (1, pole),
    }
}

/// Counts throws of a switch that are in use, by the position that closes them.
fn by_standing(task: &Task, joints: &Joints, switch: usize, clauses: &mut Clauses<'_>) -> Vec<(Vec<usize>, Vec<Lit>)> {
    let standings = task.states.iter().map(|state| state.standing[switch]).max().unwrap_or(0);
    let mut counters = Vec::new();
    for standing in 0..=standings {
        let here = task.states.iter().find(|state| state.standing[switch] == standing);
        let closed =
            |throw: &&usize| here.is_some_and(|state| state.contacts.iter().any(|set| set >> **throw & 1 == 1));
        let throws = task.poles_of(switch).flat_map(|pole| pole.lugs[1..].iter().filter(closed));
        let counter = clauses.sum_of_all(throws.map(|&throw| vec![joints.joined(throw)]).collect());
        counters.push((vec![standing], counter));
    }
    counters
}

/// Adds up counts of throws in use, each with the positions it is for, and adds how many there are at least on the way. That holds
/// where each contact is a throw of its own.
fn sum_of_contacts(
    task: &Task,
    bound: &Bound,
    switch: usize,
    mut counters: Vec<(Vec<usize>, Vec<Lit>)>,
    clauses: &mut Clauses<'_>,
) -> Vec<Lit> {
    let known = task.poles_of(switch).all(|pole: &Pole| pole.separate);
    loop {
        for (standings, counter) in counters.iter().filter(|_| known) {
            let least = bound.contacts(switch, standings);
            // Where there are fewer throws than that, there is no wiring.
            (0..least).for_each(|few| clauses.add(counter.get(few..=few).unwrap_or_default()));
        }
        if counters.len() < 2 {
            return counters.pop().map(|(_, counter)| counter).unwrap_or_default();
        }
        let pair = |pair: &[(Vec<usize>, Vec<Lit>)]| match pair {
            [one, other] => ([&one.0[..], &other.0].concat(), clauses.sum(&one.1, &other.1)),
            rest => rest[0].clone(),
        };
        counters = counters.chunks(2).map(pair).collect();
    }
}
