//! The wish as conditions on nets: what must be joined and what must stay apart in every combination of the switches.

use super::nets::{Nets, merge_overlapping};

/// The hot joint, from which the volume pot or the jack is fed.
pub(super) const HOT: usize = 0;
/// Ground.
pub(super) const GROUND: usize = 1;

/// Everything a search needs to know.
#[derive(Debug, Clone)]
pub(super) struct Task {
    /// Leads first (hot joint, ground, pickups' leads, knobs' ends), then lugs.
    pub elements: Vec<String>,
    /// How many of them are leads.
    pub leads: usize,
    /// Both leads of each pickup; a pickup whose ground lead stays on ground has ground for it.
    pub pickups: Vec<(usize, usize)>,
    /// One per combination of selector and switches.
    pub states: Vec<State>,
    /// Poles in the order in which they lie, alike ones together: lugs by their place on the pole.
    pub poles: Vec<Pole>,
    /// Selector positions.
    pub positions: usize,
}

/// One pole of a switch.
#[derive(Debug, Clone)]
pub(super) struct Pole {
    /// Its lugs.
    pub lugs: Vec<usize>,
    /// Poles of one number are alike: swapping them changes nothing.
    pub alike: usize,
    /// Whether each of its throws is joined to its first lug in one position alone, and to nothing else ever.
    pub separate: bool,
    /// Its switch; the selector is 0.
    pub switch: usize,
}

/// What is wished for in one combination of selector and switches.
#[derive(Debug, Clone, Default)]
pub(super) struct State {
    /// Selector position, from 0.
    pub position: usize,
    /// Number of the switches' setting; 0 has all of them in their first positions.
    pub setting: usize,
    /// Positions of all switches, from 0, the selector first.
    pub standing: Vec<usize>,
    /// Groups of lugs that closed contacts join.
    pub contacts: Vec<u64>,
    /// Leads that must be one, and apart from those of the other classes: the hot joint's, ground's, then one for each joint
    /// between pickups in series.
    pub classes: Vec<u64>,
    /// Pickups that must not sound.
    pub muted: Vec<usize>,
    /// Ends of tones that must not act.
    pub tones_off: Vec<usize>,
    /// Ends of blends (at the pickup, at the other end) that must not act.
    pub blends_off: Vec<(usize, usize)>,
    /// Ends of blends that must act, with their pickup.
    pub blends_on: Vec<(usize, usize)>,
    /// Whether nothing is wished for; only shorts are forbidden then.
    pub free: bool,
}

impl State {
    /// What is joined in this state: nets that closed contacts make one. Elements that are alone are left out where nothing
    /// joins them, except leads.
    pub fn components(&self, nets: &Nets) -> Vec<u64> {
        let mut sets: Vec<u64> = nets.all().collect();
        for &contact in &self.contacts {
            let mut joined = contact;
            sets.retain(|&set| {
                let touches = set & contact != 0;
                joined |= if touches { set } else { 0 };
                !touches
            });
            sets.push(joined);
        }
        sets
    }
}

impl Task {
    /// The poles of a switch.
    pub fn poles_of(&self, switch: usize) -> impl Iterator<Item = &Pole> {
        self.poles.iter().filter(move |pole| pole.switch == switch)
    }

    /// Whether what is joined so far breaks the wish in a state. More joints never mend that.
    pub fn breaks(&self, state: &State, components: &[u64]) -> bool {
        let one = |a: usize, b: usize| components.iter().any(|set| set >> a & 1 == 1 && set >> b & 1 == 1);
        if one(HOT, GROUND) || self.pickups.iter().any(|&(hot, ground)| one(hot, ground)) {
            return true;
        }
        if state.free {
            return false;
        }
        let wires = |without: Option<usize>| {
            let mut sets = components.to_vec();
            let muted = state.muted.iter().filter(|&&pickup| Some(pickup) != without);
            sets.extend(muted.map(|&pickup| 1u64 << self.pickups[pickup].0 | 1 << self.pickups[pickup].1));
            merge_overlapping(&mut sets);
            sets
        };
        let sets = wires(None);
        if state.touches_two(&sets) {
            return true;
        }
        let live = state.classes.iter().enumerate().filter(|(class, _)| *class != 1).fold(0, |all, (_, set)| all | set);
        // Whatever hangs on a live class is live too.
        let tone_acts = |&tone: &usize| sets.iter().any(|set| set >> tone & 1 == 1 && set & live != 0);
        if state.tones_off.iter().any(tone_acts) {
            return true;
        }
        let joined = |mut sets: Vec<u64>, a: usize, b: usize| {
            sets.push(1 << a | 1 << b);
            merge_overlapping(&mut sets);
            sets
        };
        state.blends_off.iter().any(|&(a, b)| state.touches_two(&joined(sets.clone(), a, b)))
            || state.blends_on.iter().any(|&(pickup, _)| {
                let hot = self.pickups[pickup].0;
                state.touches_two(&joined(wires(Some(pickup)), hot, HOT))
            })
    }
}

impl State {
    /// Whether a set holds leads of two classes.
    fn touches_two(&self, sets: &[u64]) -> bool {
        sets.iter().any(|set| self.classes.iter().filter(|&&class| class & set != 0).count() > 1)
    }
}
