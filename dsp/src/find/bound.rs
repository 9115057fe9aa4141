//! How many joints a position needs that only contacts can make.

use super::nets::Nets;
use super::task::{State, Task};

/// What a bound needs, computed once for a task.
pub(super) struct Bound {
    /// By setting of the switches: leads of a class that some position needs apart from another lead, so that only a contact of
    /// the selector can make them one. `apart[setting][a]` is a set of leads.
    apart: Vec<Vec<u64>>,
}

impl Bound {
    pub fn new(task: &Task) -> Self {
        let settings = task.states.iter().map(|state| state.setting + 1).max().unwrap_or(1);
        let mut apart = vec![vec![0u64; task.leads]; settings];
        for state in &task.states {
            for a in 0..task.leads {
                for b in (0..a).filter(|&b| clash(task, state, a, b)) {
                    apart[state.setting][a] |= 1 << b;
                    apart[state.setting][b] |= 1 << a;
                }
            }
        }
        Self { apart }
    }

    /// For each position the merges that only a contact of the selector can make, at least, with nothing joined yet; and how many
    /// contacts the selector has there.
    pub fn contacts_needed(&self, task: &Task) -> Vec<usize> {
        let nets = Nets::new(task.elements.len());
        let needed = |position: usize| {
            let here = task.states.iter().filter(|state| state.position == position);
            here.map(|state| self.merges(task, state, &state.components(&nets))).max().unwrap_or(0)
        };
        (0..task.positions).map(needed).collect()
    }

    /// How many merges in a state only a contact of the selector can make.
    fn merges(&self, task: &Task, state: &State, sets: &[u64]) -> usize {
        if state.free {
            return 0;
        }
        let leads = (1u64 << task.leads) - 1;
        let apart = &self.apart[state.setting];
        let mut merges = 0;
        for &class in &state.classes {
            let mut groups: Vec<u64> = sets.iter().map(|set| set & leads).filter(|set| set & class != 0).collect();
            // Groups of which some leads may be one everywhere need no contact to become one.
            let mut i = 0;
            while i < groups.len() {
                let free = |a: u64, b: u64| super::nets::bits(a).any(|lead| b & !apart[lead] != 0);
                match (0..groups.len()).find(|&j| j != i && free(groups[i], groups[j])) {
                    Some(j) => {
                        groups[i] |= groups[j];
                        groups.swap_remove(j);
                        i = 0;
                    }
                    None => i += 1,
                }
            }
            merges += groups.len().saturating_sub(1);
        }
        merges
    }
}

/// Whether joining two leads breaks a wish in a state.
pub(super) fn clash(task: &Task, state: &State, a: usize, b: usize) -> bool {
    let mut sets: Vec<u64> = (0..task.leads).map(|lead| 1 << lead).collect();
    sets[a] |= 1 << b;
    sets.remove(b);
    task.breaks(state, &sets)
}
