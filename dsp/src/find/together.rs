//! What must be joined, added to the formula where it is not.

use batsat::theory::TheoryArg;
use batsat::{Lit, Theory, lbool};

use super::joints::Joints;
use super::nets::{Nets, bits};
use super::task::{State, Task};

/// Looks at every partition that is proposed. Where leads that must be one are not, one of the joints between them must be there:
/// between what holds the one lead, and what it misses or a closed contact that leads on.
pub(super) struct Together<'a> {
    task: &'a Task,
    joints: &'a Joints,
    levels: usize,
}

impl<'a> Together<'a> {
    pub fn new(task: &'a Task, joints: &'a Joints) -> Self {
        Self { task, joints, levels: 0 }
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
        bits(set).flat_map(|a| bits(other).map(move |b| self.joints.of(a, b))).collect()
    }
}

impl Theory for Together<'_> {
    fn final_check(&mut self, arguments: &mut TheoryArg) {
        let nets = self.joints.nets(|joint| arguments.value(joint.var()) == lbool::TRUE);
        if let Some(missing) = self.missing(&nets) {
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
