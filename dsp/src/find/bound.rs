//! How many contacts a switch has to close at least, whatever is soldered.

use std::collections::{BTreeMap, BTreeSet};

use super::task::{State, Task};

/// What wishes that change with one switch alone ask of its contacts.
///
/// While the other switches stand still, wires and their contacts make one and the same partition of the leads, which must break
/// the wish in no position of the one switch. Whatever that partition leaves apart of leads that must be one, only the one
/// switch can join: n sets take n - 1 contacts.
pub(super) struct Bound {
    by_switch: Vec<Vec<Setting>>,
}

/// The other switches stand still.
struct Setting {
    /// Positions of the one switch, in the order of the counts below.
    standings: Vec<usize>,
    /// For each partition that breaks nothing, how many contacts each position takes; none that is worse everywhere.
    counts: BTreeSet<Vec<usize>>,
}

/// More partitions than these are not looked through; nothing is known then.
const MOST_PARTITIONS: usize = 4000;

impl Bound {
    /// For one switch, or for all.
    pub fn new(task: &Task, only: Option<usize>) -> Self {
        let switches = task.states.first().map_or(0, |state| state.standing.len());
        let of_switch = |switch: usize| {
            let mut settings: BTreeMap<Vec<usize>, Vec<&State>> = BTreeMap::new();
            for state in &task.states {
                let mut others = state.standing.clone();
                others.remove(switch);
                settings.entry(others).or_default().push(state);
            }
            settings.into_values().filter_map(|states| setting(task, switch, &states)).collect()
        };
        let wanted = |switch: &usize| only.is_none_or(|only| only == *switch);
        let by_switch =
            (0..switches).map(|switch| if wanted(&switch) { of_switch(switch) } else { Vec::new() }).collect();
        Self { by_switch }
    }

    /// So many contacts of a switch must be in use, at least, added up over some of its positions.
    pub fn contacts(&self, switch: usize, standings: &[usize]) -> usize {
        let fewest = |setting: &Setting| {
            let wanted = |(standing, _): &(&usize, &usize)| standings.contains(standing);
            let sum = |counts: &Vec<usize>| {
                setting.standings.iter().zip(counts).filter(wanted).map(|(_, count)| count).sum::<usize>()
            };
            setting.counts.iter().map(sum).min().unwrap_or(0)
        };
        self.by_switch[switch].iter().map(fewest).max().unwrap_or(0)
    }
}

/// What a switch has to do while the others stand still; none where that is not found out.
fn setting(task: &Task, switch: usize, states: &[&State]) -> Option<Setting> {
    let mut partitions = Partitions { task, states, left: MOST_PARTITIONS, counts: BTreeSet::new() };
    partitions.extend(&mut Vec::new(), 0);
    let all = partitions.counts;
    let worse = |one: &Vec<usize>, other: &Vec<usize>| one != other && one.iter().zip(other).all(|(a, b)| a >= b);
    let counts = all.iter().filter(|one| !all.iter().any(|other| worse(one, other))).cloned().collect();
    let standings = states.iter().map(|state| state.standing[switch]).collect();
    (partitions.left > 0).then_some(Setting { standings, counts })
}

/// Goes through the partitions of the leads that break no wish.
struct Partitions<'a> {
    task: &'a Task,
    states: &'a [&'a State],
    left: usize,
    counts: BTreeSet<Vec<usize>>,
}

impl Partitions<'_> {
    /// `sets` holds the leads before `lead`.
    fn extend(&mut self, sets: &mut Vec<u64>, lead: usize) {
        self.left = self.left.saturating_sub(1);
        let mut all = sets.clone();
        all.extend((lead..self.task.leads).map(|alone| 1u64 << alone));
        if self.left == 0 || self.states.iter().any(|state| self.task.breaks(state, &all)) {
            return;
        }
        if lead == self.task.leads {
            self.counts.insert(self.states.iter().map(|state| merges(state, &all)).collect());
            return;
        }
        for set in 0..sets.len() {
            sets[set] |= 1 << lead;
            self.extend(sets, lead + 1);
            sets[set] &= !(1 << lead);
        }
        sets.push(1 << lead);
        self.extend(sets, lead + 1);
        sets.pop();
    }
}

/// How many joints the wish in a state takes beside those that are there.
fn merges(state: &State, sets: &[u64]) -> usize {
    let holding = |class: &u64| sets.iter().filter(|&set| set & class != 0).count();
    state.classes.iter().map(|class| holding(class).saturating_sub(1)).sum()
}

/// Whether joining two leads breaks a wish in a state.
pub(super) fn clash(task: &Task, state: &State, a: usize, b: usize) -> bool {
    let mut sets: Vec<u64> = (0..task.leads).map(|lead| 1 << lead).collect();
    sets[a] |= 1 << b;
    sets.remove(b);
    task.breaks(state, &sets)
}
