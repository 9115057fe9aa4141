//! What must be joined, added to the formula where it is not.

use batsat::theory::TheoryArg;
use batsat::{Lit, Theory, lbool};

use super::clauses::Clauses;
use super::joints::Joints;
use super::nets::{Nets, bits};
use super::task::{State, Task};

/// Says of every lead that must be one with others, in every combination of switches, that something is joined to it.
pub(super) fn begin(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) {
    let together = Together::new(task, joints, clauses.never());
    let nothing = Nets::new(task.elements.len());
    for state in task.states.iter().filter(|state| !state.free) {
        let sets = state.components(&nothing);
        for &class in &state.classes {
            let ends = class | state.contacts.iter().fold(0, |all, contact| all | contact);
            let holding: Vec<u64> = sets.iter().copied().filter(|set| set & class != 0).collect();
            for set in holding.iter().filter(|_| holding.len() > 1) {
                clauses.add(&together.between(set & ends, !set & ends));
            }
        }
    }
}

/// Looks at every partition that is proposed. Where leads that must be one are not, one of the joints between them must be there:
/// between what holds the one lead, and what it misses or a closed contact that leads on.
pub(super) struct Together<'a> {
    task: &'a Task,
    joints: &'a Joints,
    /// Untrue whatever is joined.
    never: Lit,
    levels: usize,
}

impl<'a> Together<'a> {
    pub fn new(task: &'a Task, joints: &'a Joints, never: Lit) -> Self {
        Self { task, joints, never, levels: 0 }
    }

    /// The joints of which one must be there, the shortest list; none where all is joined that must be.
    fn missing(&self, nets: &Nets) -> Option<Vec<Lit>> {
        let lists = self.task.states.iter().filter(|state| !state.free).flat_map(|state| self.missing_in(state, nets));
        lists.min_by_key(Vec::len)
    }

    fn missing_in(&self, state: &State, nets: &Nets) -> Vec<Vec<Lit>> {
        let sets = state.components(nets);
        let contacts = state.contacts.iter().fold(0, |all, contact| all | contact);
        let mut lists = Vec::new();
        for &class in &state.classes {
            let holding = || sets.iter().filter(|&&set| set & class != 0);
            if holding().count() < 2 {
                continue;
            }
            let shortest = holding().min_by_key(|&&set| {
                let ends = |set: u64| (set & (class | contacts)).count_ones();
                ends(set) * ends(!set)
            });
            lists.extend(shortest.map(|&set| self.between(set & (class | contacts), !set & (class | contacts))));
        }
        lists
    }

    fn between(&self, set: u64, other: u64) -> Vec<Lit> {
        bits(set).flat_map(|a| bits(other).filter_map(move |b| self.joints.of(a, b))).collect()
    }
}

impl Theory for Together<'_> {
    fn final_check(&mut self, arguments: &mut TheoryArg) {
        let nets = self.joints.nets(|joint| arguments.value(joint.var()) == lbool::TRUE);
        if let Some(mut missing) = self.missing(&nets) {
            // The solver takes a lemma of one literal for new, even where that literal is known to be untrue already.
            missing.push(self.never);
            arguments.raise_conflict(&missing, true);
        }
    }

    fn create_level(&mut self) {
        self.levels += 1;
    }

    fn pop_levels(&mut self, levels: usize) {
        self.levels -= levels;
    }

    fn n_levels(&self) -> usize {
        self.levels
    }

    fn explain_propagation(&mut self, _: Lit) -> &[Lit] {
        // Nothing is ever propagated from here.
        &[]
    }
}
