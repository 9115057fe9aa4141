//! Which elements are on one net, as literals: a partition of lugs and leads in clauses.

use std::collections::BTreeMap;

use batsat::Lit;

use super::clauses::Clauses;
use super::nets::{Nets, bits};
use super::task::{Pole, Task};

/// One literal for each pair of elements: both are on one net.
pub(super) struct Joints {
    pairs: Vec<Lit>,
    count: usize,
}

/// Counters of wires: number k of each (from 0) is true when there are more than k.
pub(super) struct Counters {
    /// Of ever larger groups on the way to all.
    pub steps: Vec<Vec<Lit>>,
    /// All.
    pub all: Vec<Lit>,
}

impl Joints {
    /// A literal for every pair, with the clauses that make them a partition in which the `unused` are alone.
    pub fn new(task: &Task, unused: u64, clauses: &mut Clauses<'_>) -> Self {
        let count = task.elements.len();
        let pairs = (0..count * count.saturating_sub(1) / 2).map(|_| clauses.choice()).collect();
        let joints = Self { pairs, count };
        for lug in bits(unused) {
            (0..count).filter(|&other| other != lug).for_each(|other| clauses.add(&[!joints.of(lug, other)]));
        }
        for c in 0..count {
            for b in 0..c {
                for a in 0..b {
                    let [ab, bc, ac] = [(a, b), (b, c), (a, c)].map(|(a, b)| joints.of(a, b));
                    clauses.add(&[!ab, !bc, ac]);
                    clauses.add(&[!ab, !ac, bc]);
                    clauses.add(&[!ac, !bc, ab]);
                }
            }
        }
        joints
    }

    /// Whether two different elements are on one net.
    pub fn of(&self, a: usize, b: usize) -> Lit {
        let (low, high) = (a.min(b), a.max(b));
        self.pairs[high * (high - 1) / 2 + low]
    }

    /// Every pair of elements with its literal.
    pub fn all(&self) -> impl Iterator<Item = ((usize, usize), Lit)> {
        let pairs = (0..self.count).flat_map(|high| (0..high).map(move |low| (low, high)));
        pairs.zip(self.pairs.iter().copied())
    }

    /// The nets that `holds` makes.
    pub fn nets(&self, holds: impl Fn(Lit) -> bool) -> Nets {
        let mut nets = Nets::new(self.count);
        for ((a, b), literal) in self.all() {
            if holds(literal) {
                nets.join(a, b);
            }
        }
        nets
    }

    /// Counts wires. A net of n elements takes n - 1 of them: all but one are counted. That one is a lead if there is one, or else a
    /// lug that many positions share, so that lugs which do their work in one position are counted with that position.
    pub fn counters(&self, task: &Task, clauses: &mut Clauses<'_>) -> Counters {
        let mut order: Vec<usize> = (0..self.count).collect();
        order.sort_by_key(|&element| (group(task, element), element));
        let mut groups: BTreeMap<Group, Vec<Lit>> = BTreeMap::new();
        for (place, &element) in order.iter().enumerate() {
            let wired = clauses.consequence();
            for &earlier in &order[..place] {
                clauses.add(&[!self.of(earlier, element), wired]);
            }
            let counter = groups.entry(group(task, element)).or_default();
            *counter = clauses.sum(counter, &[wired]);
        }
        let mut by_position = vec![Vec::new(); task.positions];
        let mut lasting = Vec::new();
        for (group, counter) in groups {
            match group {
                (3, position) => by_position[position] = counter,
                _ => lasting.push(counter),
            }
        }
        let mut steps = lasting.clone();
        let lasting = clauses.sum_of_all(lasting, &mut steps);
        steps.extend(by_position.iter().cloned());
        let all_positions = clauses.sum_of_all(by_position, &mut steps);
        let all = clauses.sum(&lasting, &all_positions);
        Counters { steps, all }
    }

    /// With the fewest wires no lug is joined for nothing: not to one that a contact joins it to wherever it is joined at all, and
    /// not while nothing else on its contacts is joined.
    pub fn nothing_for_nothing(&self, task: &Task, clauses: &mut Clauses<'_>) {
        let contacts: Vec<u64> = task.states.iter().flat_map(|state| state.contacts.iter().copied()).collect();
        let joined: Vec<Lit> = (task.leads..self.count).map(|lug| self.joined(lug, clauses)).collect();
        for lug in task.leads..self.count {
            let own: Vec<u64> = contacts.iter().copied().filter(|contact| contact >> lug & 1 == 1).collect();
            let always = own.iter().fold(u64::MAX, |all, contact| all & contact) & !(1 << lug);
            for other in bits(always).filter(|&other| other < self.count) {
                clauses.add(&[!self.of(lug, other)]);
            }
            let any = own.iter().fold(0, |all, contact| all | contact) & !(1 << lug);
            let others = bits(any).map(|other| joined[other - task.leads]);
            clauses.add(&others.chain([!joined[lug - task.leads]]).collect::<Vec<_>>());
        }
    }

    /// A net of separate throws of the selector alone joins the common lugs of their poles where several are closed in one
    /// position. A wire from the one throw to the other's common lug does the same, and only that is tried.
    pub fn no_net_of_throws(&self, task: &Task, clauses: &mut Clauses<'_>) {
        let separate = task.poles.iter().filter(|pole| pole.of_selector && pole.separate);
        let throws = separate.flat_map(|pole| &pole.lugs[1..]).fold(0u64, |all, throw| all | 1 << throw);
        for throw in bits(throws) {
            let lasting = (0..self.count).filter(|&element| throws >> element & 1 == 0);
            let lasting: Vec<Lit> = lasting.map(|element| self.of(throw, element)).collect();
            for other in bits(throws).filter(|&other| other != throw) {
                clauses.add(&[&[!self.of(throw, other)][..], &lasting].concat());
            }
        }
    }

    /// Whether anything is joined to a lug.
    fn joined(&self, lug: usize, clauses: &mut Clauses<'_>) -> Lit {
        let joined = clauses.choice();
        let mut any = vec![!joined];
        for other in (0..self.count).filter(|&other| other != lug) {
            clauses.add(&[!self.of(lug, other), joined]);
            any.push(self.of(lug, other));
        }
        clauses.add(&any);
        joined
    }

    /// Of wirings that only swap poles that are alike, or throws of such poles whose common lugs are on one net, one is enough: the
    /// one whose earlier lugs are on the earlier leads.
    pub fn one_of_many(&self, task: &Task, clauses: &mut Clauses<'_>) {
        let row = |lug: usize| (0..task.leads).map(move |lead| self.of(lead, lug));
        for (index, pole) in task.poles.iter().enumerate() {
            let alike = |other: &&Pole| other.alike == pole.alike;
            let mut others = task.poles[index + 1..].iter().filter(alike).peekable();
            if let Some(next) = others.peek() {
                let rows = |pole: &Pole| pole.lugs.iter().flat_map(|&lug| row(lug)).collect::<Vec<_>>();
                clauses.not_behind(None, &rows(pole), &rows(next));
            }
            for other in others.filter(|_| pole.separate) {
                let one_net = self.of(pole.lugs[0], other.lugs[0]);
                for (&lug, &others) in pole.lugs.iter().zip(&other.lugs).skip(1) {
                    let (first, second): (Vec<Lit>, Vec<Lit>) = (row(lug).collect(), row(others).collect());
                    clauses.not_behind(Some(one_net), &first, &second);
                }
            }
        }
    }
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
        _ if task.poles[pole].of_selector => (2, 0),
        _ => (1, pole),
    }
}
