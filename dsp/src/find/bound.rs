//! How many wires are missing at least.

use super::nets::Nets;
use super::task::{State, Task};

/// What a bound needs, computed once for a task.
pub(super) struct Bound {
    /// By setting of the switches: leads of a class that some position needs apart from another lead, so that only a contact of
    /// the selector can make them one. `apart[setting][a]` is a set of leads.
    apart: Vec<Vec<u64>>,
    /// Per position, the selector's contacts as (common lug, throw), when every throw is closed in one position alone.
    contacts: Option<Vec<Vec<(usize, usize)>>>,
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
        Self { apart, contacts: separate_contacts(task) }
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

    /// At least so many wires are missing. 0 does not mean that none is.
    ///
    /// A wire makes one net of two, so in every state it makes at most one merge that is missing; a wire at a throw that is
    /// closed in one position alone makes it in that position alone. With y other wires position p needs at least
    /// max(throws_p, merges_p - y) wires at throws of its own, and the y that makes the least of all is the bound.
    pub fn missing(&self, task: &Task, nets: &Nets, components: &[Vec<u64>]) -> usize {
        let mut by_contact = vec![0usize; task.positions];
        let mut in_all = vec![0usize; task.positions];
        for (state, sets) in task.states.iter().zip(components) {
            let position = state.position;
            by_contact[position] = by_contact[position].max(self.merges(task, state, sets));
            in_all[position] = in_all[position].max(missing_merges(state, sets));
        }
        let most = in_all.iter().copied().max().unwrap_or(0);
        let Some(contacts) = &self.contacts else {
            return most;
        };
        let leads = (1u64 << task.leads) - 1;
        let mut most_poles = 0;
        let mut throws = Vec::with_capacity(task.positions);
        for (contacts, &merges) in contacts.iter().zip(&by_contact) {
            let led = |lug: usize| nets.members(lug) & leads != 0;
            let live = contacts.iter().filter(|&&(common, throw)| led(common) && led(throw)).count();
            let waiting = contacts.iter().filter(|&&(common, throw)| !(nets.alone(throw) || led(common) && led(throw)));
            throws.push(merges.saturating_sub(waiting.count()));
            most_poles = most_poles.max(live + merges);
        }
        let joined = |lug: usize| !nets.alone(lug);
        let poles = || task.poles.iter().filter(|pole| pole.of_selector);
        let ready = poles().filter(|pole| joined(pole.lugs[0])).count();
        // With the fewest wires no throw is joined for nothing: its common lug will be.
        let bare = poles().filter(|pole| !joined(pole.lugs[0]) && pole.lugs.iter().any(|&lug| joined(lug))).count();
        let commons = bare + most_poles.min(poles().count()).saturating_sub(ready + bare);
        let total = |others: usize| -> usize {
            let own = throws.iter().zip(&in_all).map(|(&throws, &all)| throws.max(all.saturating_sub(others)));
            others + own.sum::<usize>()
        };
        (commons..=commons.max(most)).map(total).min().unwrap_or(0)
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

/// How many merges are missing in a state, however they are made.
fn missing_merges(state: &State, sets: &[u64]) -> usize {
    if state.free {
        return 0;
    }
    let holding = |class: &u64| sets.iter().filter(|&&set| set & class != 0).count().saturating_sub(1);
    state.classes.iter().map(holding).sum()
}

/// Whether joining two leads breaks a wish in a state.
pub(super) fn clash(task: &Task, state: &State, a: usize, b: usize) -> bool {
    let mut sets: Vec<u64> = (0..task.leads).map(|lead| 1 << lead).collect();
    sets[a] |= 1 << b;
    sets.remove(b);
    task.breaks(state, &sets)
}

/// The selector's contacts by position, if each joins one lug of its own position with one that all positions share.
fn separate_contacts(task: &Task) -> Option<Vec<Vec<(usize, usize)>>> {
    if !task.poles.iter().filter(|pole| pole.of_selector).all(|pole| pole.separate) {
        return None;
    }
    let selector: u64 = task
        .poles
        .iter()
        .filter(|pole| pole.of_selector)
        .flat_map(|pole| &pole.lugs)
        .fold(0, |set, &lug| set | 1 << lug);
    let of = |position: usize| -> Vec<u64> {
        let state = task.states.iter().find(|state| state.position == position);
        let contacts = state.map(|state| state.contacts.clone()).unwrap_or_default();
        contacts.into_iter().filter(|contact| contact & selector != 0).collect()
    };
    let all: Vec<Vec<u64>> = (0..task.positions).map(of).collect();
    let closed_in = |lug: usize| all.iter().filter(|contacts| contacts.iter().any(|c| c >> lug & 1 == 1)).count();
    let split = |contact: &u64| {
        let lugs: Vec<usize> = super::nets::bits(*contact).collect();
        match lugs[..] {
            [a, b] if closed_in(a) > 1 && closed_in(b) == 1 => Some((a, b)),
            [a, b] if closed_in(b) > 1 && closed_in(a) == 1 => Some((b, a)),
            _ => None,
        }
    };
    let split_all = |contacts: &Vec<u64>| contacts.iter().map(split).collect::<Option<Vec<_>>>();
    all.iter().map(split_all).collect()
}
