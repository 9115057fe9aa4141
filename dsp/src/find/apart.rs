//! What must stay apart, as clauses. In every combination of switches each lead has a colour by its class; what is joined takes the
//! colour over, and nothing has two.

use batsat::Lit;

use super::clauses::Clauses;
use super::joints::Joints;
use super::nets::bits;
use super::task::{GROUND, HOT, State, Task};

/// Adds the clauses for every combination of switches.
pub(super) fn hold_apart(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) {
    for state in &task.states {
        no_shorts(task, state, joints, clauses);
        if !state.free {
            wishes(task, state, joints, clauses);
        }
    }
}

/// No pickup and no jack is shorted, by contacts and wires alone. What sounds is held apart by its classes already.
fn no_shorts(task: &Task, state: &State, joints: &Joints, clauses: &mut Clauses<'_>) {
    let silent = |&(index, _): &(usize, &(usize, usize))| state.free || state.muted.contains(&index);
    let pickups = task.pickups.iter().enumerate().filter(silent).map(|(_, &ends)| ends);
    for (one, other) in pickups.chain(state.free.then_some((HOT, GROUND))) {
        let colours = Colours::new(task, state, &[1 << one], joints, clauses);
        clauses.add(&[!colours.of(other)[0]]);
    }
}

fn wishes(task: &Task, state: &State, joints: &Joints, clauses: &mut Clauses<'_>) {
    let colours = Colours::new(task, state, &state.classes, joints, clauses);
    for pickup in &state.muted {
        let (hot, ground) = task.pickups[*pickup];
        colours.same(hot, ground, clauses);
    }
    for &tone in &state.tones_off {
        let live = colours.of(tone).into_iter().enumerate().filter(|(class, _)| *class != 1);
        live.for_each(|(_, colour)| clauses.add(&[!colour]));
    }
    for &(one, other) in &state.blends_off {
        for (a, first) in colours.of(one).into_iter().enumerate() {
            for (b, second) in colours.of(other).into_iter().enumerate() {
                if a != b {
                    clauses.add(&[!first, !second]);
                }
            }
        }
    }
    for &(pickup, _) in &state.blends_on {
        let mut classes = state.classes.clone();
        classes[0] |= 1 << task.pickups[pickup].0;
        let fed = Colours::new(task, state, &classes, joints, clauses);
        for &other in state.muted.iter().filter(|&&other| other != pickup) {
            let (hot, ground) = task.pickups[other];
            fed.same(hot, ground, clauses);
        }
    }
}

/// The colours of every element that matters in a combination: leads, and lugs on closed contacts. An element between two others
/// needs none, because what is on one net with one that is on one net with a third is on one net with that.
struct Colours {
    /// By element; nothing for those that do not matter.
    colours: Vec<Option<Vec<Lit>>>,
}

impl Colours {
    /// `classes` are the sets of leads that have a colour to begin with.
    fn new(task: &Task, state: &State, classes: &[u64], joints: &Joints, clauses: &mut Clauses<'_>) -> Self {
        let mut colours: Vec<Option<Vec<Lit>>> = vec![None; task.elements.len()];
        let new = |clauses: &mut Clauses<'_>| {
            let colours: Vec<Lit> = classes.iter().map(|_| clauses.consequence()).collect();
            for (i, &one) in colours.iter().enumerate() {
                colours[..i].iter().for_each(|&other| clauses.add(&[!one, !other]));
            }
            colours
        };
        for (lead, place) in colours.iter_mut().enumerate().take(task.leads) {
            let own = new(clauses);
            for (class, &colour) in classes.iter().zip(&own) {
                if class >> lead & 1 == 1 {
                    clauses.add(&[colour]);
                }
            }
            *place = Some(own);
        }
        let mut contacts = state.contacts.clone();
        super::nets::merge_overlapping(&mut contacts);
        for contact in contacts {
            let shared = new(clauses);
            bits(contact).for_each(|lug| colours[lug] = Some(shared.clone()));
        }
        let this = Self { colours };
        for ((a, b), joint) in joints.all() {
            if let (Some(first), Some(second)) = (&this.colours[a], &this.colours[b]) {
                for (&one, &other) in first.iter().zip(second).filter(|(one, other)| one != other) {
                    clauses.add(&[!joint, !one, other]);
                    clauses.add(&[!joint, !other, one]);
                }
            }
        }
        this
    }

    fn of(&self, lead: usize) -> Vec<Lit> {
        self.colours[lead].clone().unwrap_or_default()
    }

    /// Two leads have the same colour, as if they were joined.
    fn same(&self, a: usize, b: usize, clauses: &mut Clauses<'_>) {
        for (one, other) in self.of(a).into_iter().zip(self.of(b)) {
            clauses.add(&[!one, other]);
            clauses.add(&[!other, one]);
        }
    }
}
