//! Exhaustive search for the nets that grant a wish with the fewest wires.
//!
//! The wish becomes a formula of propositional logic: which elements are on one net, what must stay apart in every combination of
//! switches, and how many wires there are. What must be joined is added where a proposal lacks it. A solver that learns from
//! contradictions (Marques-Silva and Sakallah, IEEE Transactions on Computers 48, 1999) proposes, with ever fewer wires, until
//! there is none with fewer; then all with as many are asked for. Nothing is left out but what stands for the same: see
//! [`Joints::one_of_many`], [`Joints::nothing_for_nothing`] and [`Joints::no_net_of_throws`].

use std::collections::BTreeMap;

use batsat::Lit;

use super::apart::hold_apart;
use super::clauses::{Answer, Clauses};
use super::joints::{Counters, Joints};
use super::nets::Nets;
use super::rank::rank;
use super::signature::signature;
use super::task::Task;
use super::together::Together;

/// What a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Searched {
    /// Solutions with as few wires as were found, each as its nets, in a fixed order.
    pub solutions: Vec<Vec<u64>>,
    /// How many they are.
    pub counted: usize,
    /// Wires of each.
    pub wires: usize,
    /// So many wires every solution has at least.
    pub at_least: usize,
    /// Whether everything was tried.
    pub exhausted: bool,
    /// Contradictions that were met.
    pub tried: u64,
}

/// How far a search goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Limits {
    /// Most contradictions.
    pub tried: u64,
    /// Most solutions that are kept.
    pub solutions: usize,
}

/// Contradictions that a group of lugs is worth.
const EFFORT_FOR_A_GROUP: u64 = 1000;

/// Whether there is any solution; not if the limits end the search.
pub(super) fn possible(task: &Task, limits: Limits, progress: &mut dyn FnMut(usize, u64)) -> bool {
    Search::new(task, 0, limits.tried, progress).propose(task.elements.len()) == Answer::Holds
}

/// Searches for the fewest wires, up to `most` of them. `progress` hears the number of wires.
pub(super) fn search(
    task: &Task,
    limits: Limits,
    most: Option<usize>,
    progress: &mut dyn FnMut(usize, u64),
) -> Searched {
    let mut best = None;
    let mut tried = 0;
    // Wirings on fewer poles are quickly found, and among the best there are; all poles then have little to add.
    for unused in spared(task) {
        let left = limits.tried.saturating_sub(tried) / 2;
        let mut search = Search::new(task, unused, left, progress);
        let found = search.run(limits, most);
        tried += search.clauses.contradictions();
        if !found.solutions.is_empty() {
            best = Some(found);
            break;
        }
    }
    let most = best.as_ref().map(|best| best.wires).or(most);
    let mut search = Search::new(task, 0, limits.tried.saturating_sub(tried), progress);
    let mut searched = search.run(limits, most);
    searched.tried += tried;
    match best {
        Some(best) if searched.solutions.is_empty() => {
            Searched { at_least: searched.at_least.min(best.wires), exhausted: false, tried: searched.tried, ..best }
        }
        _ => searched,
    }
}

/// Lugs of the selector's poles that a search may leave out to begin with: all but the first pole, all but two, and so on.
fn spared(task: &Task) -> Vec<u64> {
    let poles: Vec<u64> = task
        .poles
        .iter()
        .filter(|pole| pole.of_selector)
        .map(|pole| pole.lugs.iter().fold(0, |all, lug| all | 1 << lug))
        .collect();
    (2..poles.len()).map(|used| poles[used..].iter().fold(0, |all, pole| all | pole)).collect()
}

struct Search<'a> {
    task: &'a Task,
    joints: Joints,
    clauses: Clauses<'a>,
    counters: Counters,
    at_least: usize,
}

impl<'a> Search<'a> {
    /// A search that leaves some lugs out.
    fn new(task: &'a Task, unused: u64, most: u64, progress: &'a mut dyn FnMut(usize, u64)) -> Self {
        let mut clauses = Clauses::new(most, progress);
        let joints = Joints::new(task, unused, &mut clauses);
        hold_apart(task, &joints, &mut clauses);
        joints.nothing_for_nothing(task, &mut clauses);
        joints.no_net_of_throws(task, &mut clauses);
        joints.one_of_many(task, &mut clauses);
        let counters = joints.counters(task, &mut clauses);
        Self { task, joints, clauses, counters, at_least: 0 }
    }

    fn run(&mut self, limits: Limits, most: Option<usize>) -> Searched {
        match self.propose(most.unwrap_or(self.task.elements.len())) {
            Answer::Holds => {}
            Answer::Contradicts => return self.nothing(true),
            Answer::Unknown => return self.nothing(false),
        }
        let mut best = self.nets();
        let steps = std::mem::take(&mut self.counters.steps);
        let all = self.counters.all.clone();
        // What small groups of lugs need at least is proved first: all of it together is then little more than their sum.
        for (counter, last) in steps.iter().map(|step| (step, false)).chain([(&all, true)]) {
            let effort = if last { u64::MAX } else { EFFORT_FOR_A_GROUP };
            for (few, &more) in counter.iter().enumerate() {
                match self.clauses.solve(&mut Together::new(self.task, &self.joints), &[!more], effort) {
                    Answer::Contradicts => self.clauses.add(&[more]),
                    Answer::Holds => {
                        let nets = self.nets();
                        if wires(self.task, &nets) < wires(self.task, &best) {
                            best = nets;
                        }
                        break;
                    }
                    Answer::Unknown => break,
                }
                if last {
                    self.at_least = few + 1;
                }
            }
        }
        if wires(self.task, &best) > self.at_least {
            best = self.fewer(best);
        }
        self.all(limits, &best)
    }

    /// Asks for ever fewer wires.
    fn fewer(&mut self, mut best: Nets) -> Nets {
        while wires(self.task, &best) > self.at_least {
            match self.propose(wires(self.task, &best) - 1) {
                Answer::Holds => best = self.nets(),
                Answer::Contradicts => self.at_least = wires(self.task, &best),
                Answer::Unknown => break,
            }
        }
        best
    }

    fn nothing(&self, exhausted: bool) -> Searched {
        let tried = self.clauses.contradictions();
        Searched { solutions: Vec::new(), counted: 0, wires: 0, at_least: self.at_least, exhausted, tried }
    }

    /// All solutions with as many wires as one that is known.
    fn all(&mut self, limits: Limits, known: &Nets) -> Searched {
        let wires = wires(self.task, known);
        let mut found: BTreeMap<_, Vec<u64>> = BTreeMap::new();
        let mut next = Some(known.clone());
        let mut exhausted = false;
        while let Some(nets) = next.take() {
            self.exclude(&nets);
            let mut solution: Vec<u64> = nets.all().filter(|net| net.count_ones() > 1).collect();
            solution.sort_unstable();
            let best = found.entry(signature(self.task, &nets)).or_insert_with(|| solution.clone());
            *best = best.clone().min(solution);
            if found.len() >= limits.solutions {
                break;
            }
            match self.propose(wires) {
                Answer::Holds => next = Some(self.nets()),
                answer => exhausted = answer == Answer::Contradicts && self.at_least == wires,
            }
        }
        let mut solutions: Vec<Vec<u64>> = found.into_values().collect();
        solutions.sort_by_cached_key(|nets| rank(self.task, nets));
        let (counted, at_least) = (solutions.len(), self.at_least);
        Searched { solutions, counted, wires, at_least, exhausted, tried: self.clauses.contradictions() }
    }

    fn propose(&mut self, most: usize) -> Answer {
        self.clauses.tell(most);
        let more = self.counters.all.get(most).copied();
        let assumptions: Vec<Lit> = more.into_iter().map(|more| !more).collect();
        self.clauses.solve(&mut Together::new(self.task, &self.joints), &assumptions, u64::MAX)
    }

    fn nets(&self) -> Nets {
        self.joints.nets(|joint| self.clauses.holds(joint))
    }

    /// Excludes a solution: any other with as many wires lacks one of its.
    fn exclude(&mut self, nets: &Nets) {
        let wired = (0..self.task.elements.len()).filter(|&element| nets.net(element) != element);
        let clause: Vec<Lit> = wired.map(|element| !self.joints.of(nets.net(element), element)).collect();
        self.clauses.add(&clause);
    }
}

fn wires(task: &Task, nets: &Nets) -> usize {
    task.elements.len() - nets.all().count()
}

/// Every order of so many things.
pub(super) fn permutations(count: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for next in 0..count {
        let place = |order: &Vec<usize>| -> Vec<Vec<usize>> {
            (0..=order.len())
                .map(|at| {
                    let mut order = order.clone();
                    order.insert(at, next);
                    order
                })
                .collect()
        };
        all = all.iter().flat_map(place).collect();
    }
    all
}
