//! Exhaustive search for the nets that grant a wish with the fewest wires.
//!
//! A wire makes one net of two. While some leads that must be one in a state are not, every wiring that goes on from here must
//! join a net on the one side with something on the other side or with a lug through which a closed contact leads on. So the
//! search branches on just these joints: this one, or held apart and the next one. Nothing is tried twice, and nothing is left
//! out. It deepens by the number of wires; a bound on the wires that are still missing cuts what cannot end in time.

use std::collections::BTreeMap;

use super::bound::Bound;
use super::nets::Nets;
use super::rank::rank;
use super::task::{Pole, State, Task};

/// What a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Searched {
    /// The solutions with the fewest wires, each as its nets, in a fixed order.
    pub solutions: Vec<Vec<u64>>,
    /// How many they are.
    pub counted: usize,
    /// Wires of each.
    pub wires: usize,
    /// Whether everything was tried.
    pub exhausted: bool,
    /// Joints that were tried.
    pub tried: u64,
}

/// How far a search goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Limits {
    /// Most joints that are tried.
    pub tried: u64,
    /// Most solutions that are kept.
    pub solutions: usize,
}

/// Searches with ever more wires, up to `most` of them, until something is found or everything was tried. `progress` hears the
/// number of wires.
pub(super) fn search(
    task: &Task,
    limits: Limits,
    most: Option<usize>,
    progress: &mut dyn FnMut(usize, u64),
) -> Searched {
    let bound = Bound::new(task);
    let mut tried = 0;
    let most = most.unwrap_or(task.elements.len());
    let nets = Nets::new(task.elements.len());
    for wires in 0..=most {
        let found = BTreeMap::new();
        let mut search = Search {
            task,
            bound: &bound,
            wires,
            limits,
            tried,
            found,
            cut: false,
            stopped: false,
            progress: &mut *progress,
        };
        search.run(nets.clone(), 0);
        tried = search.tried;
        if !search.found.is_empty() {
            let mut solutions: Vec<Vec<u64>> = search.found.into_values().collect();
            solutions.sort_by_cached_key(|nets| rank(task, nets));
            let counted = solutions.len();
            return Searched { solutions, counted, wires, exhausted: !search.stopped, tried };
        }
        if search.stopped || !search.cut {
            return Searched { solutions: Vec::new(), counted: 0, wires, exhausted: !search.stopped, tried };
        }
    }
    Searched { solutions: Vec::new(), counted: 0, wires: most, exhausted: true, tried }
}

struct Search<'a> {
    task: &'a Task,
    bound: &'a Bound,
    wires: usize,
    limits: Limits,
    tried: u64,
    found: BTreeMap<Signature, Vec<u64>>,
    /// Whether the number of wires cut something off.
    cut: bool,
    stopped: bool,
    progress: &'a mut dyn FnMut(usize, u64),
}

/// Joints between two words of progress.
const PROGRESS: u64 = 4096;

/// Leads that must be one and are not: the components that hold them.
struct Missing {
    state: usize,
    /// The component from which the search goes on, and the others.
    from: u64,
    others: u64,
}

impl Search<'_> {
    fn run(&mut self, mut nets: Nets, used: usize) {
        if self.tried.is_multiple_of(PROGRESS) {
            (self.progress)(self.wires, self.tried);
        }
        self.tried += 1;
        if self.tried > self.limits.tried || self.found.len() >= self.limits.solutions {
            self.stopped = true;
            return;
        }
        let components: Vec<Vec<u64>> = self.task.states.iter().map(|state| state.components(&nets)).collect();
        let broken = |(state, sets): (&State, &Vec<u64>)| self.task.breaks(state, sets);
        if self.task.states.iter().zip(&components).any(broken) {
            return;
        }
        let spare = self.spare(&nets);
        let Some(missing) = self.most_pressing(&nets, &components, spare) else {
            let mut solution: Vec<u64> = nets.all().filter(|net| net.count_ones() > 1).collect();
            solution.sort_unstable();
            let best = self.found.entry(self.signature(&nets)).or_insert_with(|| solution.clone());
            *best = best.clone().min(solution);
            return;
        };
        if used + self.bound.missing(self.task, &nets, &components).max(1) > self.wires {
            self.cut = true;
            return;
        }
        for (a, b) in self.candidates(&nets, &missing, spare) {
            if self.stopped {
                return;
            }
            let mut joined = nets.clone();
            if joined.join(a, b) {
                self.run(joined, used + 1);
            }
            self.part_alike(&mut nets, a, b);
        }
    }

    /// Of all leads that must be one and are not, those with the fewest ways to become it.
    fn most_pressing(&self, nets: &Nets, components: &[Vec<u64>], spare: u64) -> Option<Missing> {
        let mut best: Option<(usize, Missing)> = None;
        for (index, (state, sets)) in self.task.states.iter().zip(components).enumerate() {
            for &class in state.classes.iter().filter(|_| !state.free) {
                let holding: Vec<u64> = sets.iter().copied().filter(|set| set & class != 0).collect();
                if holding.len() < 2 {
                    continue;
                }
                for &from in &holding {
                    let others = holding.iter().filter(|&&set| set != from).fold(0, |all, set| all | set);
                    let missing = Missing { state: index, from, others };
                    let ways = self.candidates(nets, &missing, spare).len();
                    if best.as_ref().is_none_or(|(fewest, _)| ways < *fewest) {
                        best = Some((ways, missing));
                    }
                }
            }
        }
        best.map(|(_, missing)| missing)
    }

    /// Pairs of nets, by their lowest members, one of which must be joined.
    fn candidates(&self, nets: &Nets, missing: &Missing, spare: u64) -> Vec<(usize, usize)> {
        let state = &self.task.states[missing.state];
        let onward = state.contacts.iter().fold(missing.others, |all, contact| all | contact) & !missing.from;
        let from = lowest(nets, missing.from & !spare);
        let to = lowest(nets, onward & !spare);
        let mut pairs = Vec::with_capacity(from.len() * to.len());
        for &b in &to {
            for &a in &from {
                if !nets.parted(a, b) {
                    pairs.push((a, b));
                }
            }
        }
        pairs
    }

    /// Lone lugs that one on an earlier pole can stand for: nothing is gained by joining them.
    fn spare(&self, nets: &Nets) -> u64 {
        let poles = &self.task.poles;
        let mut spare = 0;
        for (index, pole) in poles.iter().enumerate() {
            for (place, &lug) in pole.lugs.iter().enumerate().filter(|&(_, &lug)| nets.alone(lug)) {
                if poles[..index].iter().any(|earlier| twins(nets, pole, earlier, place)) {
                    spare |= 1 << lug;
                }
            }
        }
        spare
    }

    /// Holds the pair apart, and with it every pair that is the same but for lugs that can stand for each other.
    fn part_alike(&self, nets: &mut Nets, a: usize, b: usize) {
        let twins_of = |lug: usize| -> Vec<usize> {
            let Some(pole) = self.task.poles.iter().find(|pole| pole.lugs.contains(&lug)) else { return vec![lug] };
            let place = pole.lugs.iter().position(|&other| other == lug).unwrap_or(0);
            let alike = self.task.poles.iter().filter(|other| twins(nets, pole, other, place));
            let others = alike.map(|other| other.lugs[place]).filter(|&other| other != lug);
            std::iter::once(lug).chain(others).collect()
        };
        let (of_a, of_b) = (twins_of(a), twins_of(b));
        if of_a.len() > 1 && of_b.len() > 1 {
            // Both ends are such lugs: pairing twins with twins would part more than was tried.
            nets.part(a, b);
            return;
        }
        for &a in &of_a {
            for &b in &of_b {
                nets.part(a, b);
            }
        }
    }

    /// What a solution comes to: which leads are joined directly, and which leads each pole, or each contact of a pole with
    /// separate throws, can join. Solutions that differ in nothing else count as one.
    fn signature(&self, nets: &Nets) -> Signature {
        let leads = (1u64 << self.task.leads) - 1;
        let mut lone = 0;
        let mut led = |lug: usize| match nets.members(lug) {
            net if net & leads != 0 => net & leads,
            net if net.count_ones() == 1 => 0,
            // A link between lugs alone is only like itself.
            net => {
                lone = 1;
                net
            }
        };
        let mut poles = Vec::new();
        for pole in &self.task.poles {
            let nets: Vec<u64> = pole.lugs.iter().map(|&lug| led(lug)).collect();
            if !pole.separate {
                poles.push((pole.alike, 0, nets));
                continue;
            }
            poles.push((pole.alike, 0, vec![nets[0]]));
            poles.extend((1..nets.len()).map(|place| (pole.alike, place, vec![nets[0], nets[place]])));
        }
        poles.sort_unstable();
        let mut joined: Vec<u64> = nets.all().map(|net| if lone == 1 { net } else { net & leads }).collect();
        joined.sort_unstable();
        joined.dedup();
        (joined, poles)
    }
}

/// See [`Search::signature`].
type Signature = (Vec<u64>, Vec<(usize, usize, Vec<u64>)>);

/// Whether the lugs in one place of two poles can stand for each other: the poles are alike in all that was decided; or the lugs
/// are throws of which nothing was decided apart, each closed in one position alone, and their common lugs are one net.
fn twins(nets: &Nets, one: &Pole, other: &Pole, place: usize) -> bool {
    if one.alike != other.alike {
        return false;
    }
    let throws =
        one.separate && place > 0 && !nets.alone(one.lugs[0]) && nets.net(one.lugs[0]) == nets.net(other.lugs[0]);
    let same = nets.alike(&one.lugs[place..=place], &other.lugs[place..=place]);
    same && (throws || nets.alike(&one.lugs, &other.lugs))
}

/// The lowest member of each net in a set of elements.
fn lowest(nets: &Nets, mut set: u64) -> Vec<usize> {
    let mut found = Vec::new();
    while set != 0 {
        let element = set.trailing_zeros() as usize;
        found.push(nets.net(element));
        set &= !nets.members(element);
    }
    found
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
