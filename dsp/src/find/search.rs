//! Exhaustive search for the nets that grant a wish with the fewest wires.
//!
//! The wish becomes a formula of propositional logic: which elements are on one net, what must stay apart in every combination of
//! switches, and how many wires there are. What must be joined is added where a proposal lacks it. A solver that learns from
//! contradictions (Marques-Silva and Sakallah, IEEE Transactions on Computers 48, 1999) proposes, with ever fewer wires, until
//! there is none with fewer; then all with as many are asked for. Nothing is left out but what stands for the same: see
//! [`spare`].

use std::collections::BTreeMap;

use batsat::Lit;

use super::apart::hold_apart;
use super::clauses::{Answer, Clauses, Progress};
use super::counters::count;
use super::joints::Joints;
use super::nets::Nets;
use super::rank::rank;
use super::signature::signature;
use super::spared::spare;
use super::task::{Pole, Task};
use super::together::{Together, begin};

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

/// Contradictions that it is worth to know that some few wires will not do.
const EFFORT_FOR_FEW: u64 = 300;

/// Each try with fewer poles gets this part of the effort: what it finds is worth much, that it is the best nothing.
const SHARE_FOR_FEWER_POLES: u64 = 8;

/// Whether there is any solution; not if the limits end the search.
pub(super) fn possible(task: &Task, limits: Limits, progress: &mut Progress<'_>) -> bool {
    Search::new(task, 0, limits.tried, progress).propose(task.elements.len(), u64::MAX) == Answer::Holds
}

/// Searches for the fewest wires, up to `most` of them. `progress` hears the number of wires.
pub(super) fn search(task: &Task, limits: Limits, most: Option<usize>, progress: &mut Progress<'_>) -> Searched {
    let mut known = None;
    let mut tried = 0;
    // Wirings on fewer poles are quickly found, and among the best there are; all poles then have little to add.
    for unused in spared(task) {
        let mut search =
            Search::new(task, unused, limits.tried.saturating_sub(tried) / SHARE_FOR_FEWER_POLES, progress);
        known = search.fewest(most, None);
        tried += search.clauses.contradictions();
        if known.is_some() {
            break;
        }
    }
    let mut search = Search::new(task, 0, limits.tried.saturating_sub(tried), progress);
    let mut searched = match search.fewest(most, known) {
        Some(best) => search.all(limits, &best),
        None => search.nothing(),
    };
    searched.tried += tried;
    searched
}

/// Lugs of the selector's poles that a search may leave out to begin with: all but the first pole, all but two, and so on.
fn spared(task: &Task) -> Vec<u64> {
    let lugs = |pole: &Pole| pole.lugs.iter().fold(0, |all, lug| all | 1 << lug);
    let poles: Vec<u64> = task.poles_of(0).map(lugs).collect();
    (2..poles.len()).map(|used| poles[used..].iter().fold(0, |all, pole| all | pole)).collect()
}

struct Search<'a> {
    task: &'a Task,
    joints: Joints,
    clauses: Clauses<'a>,
    /// Number k (from 0) is true when there are more than k wires.
    more_than: Vec<Lit>,
    at_least: usize,
    exhausted: bool,
}

impl<'a> Search<'a> {
    /// A search that leaves some lugs out.
    fn new(task: &'a Task, unused: u64, most: u64, progress: &'a mut Progress<'a>) -> Self {
        let mut clauses = Clauses::new(most, progress);
        let joints = Joints::new(task, unused, &mut clauses);
        hold_apart(task, &joints, &mut clauses);
        begin(task, &joints, &mut clauses);
        spare(task, &joints, &mut clauses);
        let more_than = count(task, &joints, &mut clauses);
        Self { task, joints, clauses, more_than, at_least: 0, exhausted: false }
    }

    /// The nets with the fewest wires that are found, and no more than `most`; they are the `known` ones where none has fewer.
    fn fewest(&mut self, most: Option<usize>, known: Option<Nets>) -> Option<Nets> {
        let most = most.unwrap_or(self.task.elements.len());
        let mut best = known;
        if best.is_none() {
            match self.propose(most, u64::MAX) {
                Answer::Holds => best = Some(self.nets()),
                answer => self.exhausted = answer == Answer::Contradicts,
            }
        }
        let mut best = best?;
        // That very few will not do is learnt at once, and helps with more.
        while self.at_least < wires(self.task, &best) {
            match self.propose(self.at_least, EFFORT_FOR_FEW) {
                Answer::Holds => best = self.nets(),
                Answer::Contradicts => self.needs_more_than(self.at_least),
                Answer::Unknown => break,
            }
        }
        while self.at_least < wires(self.task, &best) {
            match self.propose(wires(self.task, &best) - 1, u64::MAX) {
                Answer::Holds => best = self.nets(),
                Answer::Contradicts => self.needs_more_than(wires(self.task, &best) - 1),
                Answer::Unknown => break,
            }
        }
        Some(best)
    }

    fn needs_more_than(&mut self, few: usize) {
        self.at_least = few + 1;
        if let Some(&more) = self.more_than.get(few) {
            self.clauses.add(&[more]);
        }
    }

    fn nothing(&self) -> Searched {
        let (at_least, exhausted, tried) = (self.at_least, self.exhausted, self.clauses.contradictions());
        Searched { solutions: Vec::new(), counted: 0, wires: 0, at_least, exhausted, tried }
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
            match self.propose(wires, u64::MAX) {
                Answer::Holds => next = Some(self.nets()),
                answer => exhausted = answer == Answer::Contradicts && self.at_least == wires,
            }
        }
        let mut solutions: Vec<Vec<u64>> = found.into_values().collect();
        solutions.sort_by_cached_key(|nets| rank(self.task, nets));
        let (counted, at_least) = (solutions.len(), self.at_least);
        Searched { solutions, counted, wires, at_least, exhausted, tried: self.clauses.contradictions() }
    }

    /// Asks for nets with so many wires at most.
    fn propose(&mut self, most: usize, effort: u64) -> Answer {
        self.clauses.tell(most);
        let more = self.more_than.get(most).copied();
        let assumptions: Vec<Lit> = more.into_iter().map(|more| !more).collect();
        let mut together = Together::new(self.task, &self.joints, self.clauses.never());
        self.clauses.solve(&mut together, &assumptions, effort)
    }

    fn nets(&self) -> Nets {
        self.joints.nets(|joint| self.clauses.holds(joint))
    }

    /// Excludes a solution: any other with as many wires lacks one of its.
    fn exclude(&mut self, nets: &Nets) {
        let clause: Vec<Lit> = self.joints.holding(self.task, nets).into_iter().map(|joint| !joint).collect();
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
