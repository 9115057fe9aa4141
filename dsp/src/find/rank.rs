//! Which of several wirings with as few wires comes first.

use super::nets::{bits, merge_overlapping};
use super::task::{HOT, Pole, Task};

/// The order: fewest loops of closed contacts, fewest poles, fewest poles led from elsewhere than the hot joint; then an order
/// that is merely fixed.
pub(super) fn rank(task: &Task, nets: &[u64]) -> (usize, usize, usize, Vec<u64>) {
    (loops(task, nets), needs_poles(task, nets), unusual(task, nets), nets.to_vec())
}

/// How many of the poles used have their first lug elsewhere than on the hot joint: it can be done, but nobody expects it.
fn unusual(task: &Task, nets: &[u64]) -> usize {
    let hot = nets.iter().copied().find(|net| net >> HOT & 1 == 1).unwrap_or(1 << HOT);
    let led = |lug: &usize| nets.iter().any(|net| net >> lug & 1 == 1);
    let elsewhere = |pole: &&Pole| pole.switch == 0 && led(&pole.lugs[0]) && hot >> pole.lugs[0] & 1 == 0;
    task.poles.iter().filter(elsewhere).count()
}

/// How many poles are used.
fn needs_poles(task: &Task, nets: &[u64]) -> usize {
    let used =
        |pole: &&Pole| pole.lugs.iter().any(|lug| nets.iter().any(|net| net >> lug & 1 == 1 && net.count_ones() > 1));
    task.poles.iter().filter(used).count()
}

/// How many contacts, over all states, join what is joined already.
fn loops(task: &Task, nets: &[u64]) -> usize {
    let mut loops = 0;
    for state in &task.states {
        let mut sets = nets.to_vec();
        for &contact in &state.contacts {
            let parts: usize = bits(contact).map(|lug| usize::from(!nets.iter().any(|net| net >> lug & 1 == 1))).sum();
            let touched = sets.iter().filter(|set| **set & contact != 0).count();
            loops += (contact.count_ones() as usize).saturating_sub(parts + touched);
            sets.push(contact);
            merge_overlapping(&mut sets);
        }
    }
    loops
}
