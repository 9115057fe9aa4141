//! What need not be tried, because something that is tried is as good.

use batsat::Lit;

use super::clauses::Clauses;
use super::joints::Joints;
use super::nets::bits;
use super::task::{Pole, Task};

/// Adds clauses that spare the search what only repeats.
pub(super) fn spare(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) {
    nothing_for_nothing(task, joints, clauses);
    for switch in 0..=task.poles.iter().map(|pole| pole.switch).max().unwrap_or(0) {
        no_net_of_throws(task, joints, switch, clauses);
    }
    no_detour(task, joints, clauses);
    one_of_many(task, joints, clauses);
}

/// With the fewest wires no lug is joined for nothing: not to one that a contact joins it to wherever it is joined at all, and not
/// while nothing else on its contacts is joined.
fn nothing_for_nothing(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) {
    let contacts: Vec<u64> = task.states.iter().flat_map(|state| state.contacts.iter().copied()).collect();
    for lug in task.leads..task.elements.len() {
        let own: Vec<u64> = contacts.iter().copied().filter(|contact| contact >> lug & 1 == 1).collect();
        let always = own.iter().fold(u64::MAX, |all, contact| all & contact) & !(1 << lug);
        let needless = joints.others(lug).filter(|(other, _)| always >> other & 1 == 1);
        needless.for_each(|(_, joint)| clauses.add(&[!joint]));
        let any = own.iter().fold(0, |all, contact| all | contact) & !(1 << lug);
        let others = bits(any).map(|other| joints.joined(other));
        clauses.add(&others.chain([!joints.joined(lug)]).collect::<Vec<_>>());
    }
}

/// A net of separate throws of one switch alone joins the common lugs of their poles where several are closed in one position. A wire
/// from the one throw to the other's common lug does the same, and only that is tried.
fn no_net_of_throws(task: &Task, joints: &Joints, switch: usize, clauses: &mut Clauses<'_>) {
    let throws = task.poles_of(switch).filter(|pole| pole.separate).flat_map(|pole| &pole.lugs[1..]);
    let throws = throws.fold(0u64, |all, throw| all | 1 << throw);
    for throw in bits(throws) {
        let lasting = joints.others(throw).filter(|(other, _)| throws >> other & 1 == 0).map(|(_, joint)| joint);
        clauses.add(&lasting.chain([!joints.joined(throw)]).collect::<Vec<_>>());
    }
}

/// A net of lugs of one switch alone, with separate throws and one common lug in it, leads from the throws' poles to what that common
/// lug's throws are joined to. The throws joined there directly do the same with fewer wires and a pole less.
fn no_detour(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) {
    for pole in task.poles.iter().filter(|pole| pole.separate) {
        let throws = task.poles_of(pole.switch).filter(|pole| pole.separate).flat_map(|pole| &pole.lugs[1..]);
        let throws = throws.fold(0u64, |all, throw| all | 1 << throw);
        let lasting = joints.others(pole.lugs[0]).filter(|(other, _)| throws >> other & 1 == 0);
        let lasting = lasting.map(|(_, joint)| joint).chain([!joints.joined(pole.lugs[0])]);
        clauses.add(&lasting.collect::<Vec<_>>());
    }
}

/// Of wirings that only swap poles that are alike, or throws of such poles whose common lugs are on one net, one is enough: the one
/// whose earlier lugs are joined, to the earlier leads, and (of the selector) to the earlier lugs of other switches.
fn one_of_many(task: &Task, joints: &Joints, clauses: &mut Clauses<'_>) {
    let near = |lug: usize| {
        let leads = (0..task.leads).filter_map(move |lead| joints.of(lead, lug));
        std::iter::once(joints.joined(lug)).chain(leads)
    };
    let others: Vec<usize> =
        task.poles.iter().filter(|pole| pole.switch > 0).flat_map(|pole| pole.lugs.iter().copied()).collect();
    let far = |pole: &Pole, lug: usize| {
        let others = if pole.switch == 0 { &others[..] } else { &[] };
        others.iter().filter_map(|&other| joints.of(lug, other)).collect::<Vec<_>>()
    };
    let rows = |pole: &Pole, lugs: &[usize]| {
        let near = lugs.iter().flat_map(|&lug| near(lug));
        near.chain(lugs.iter().flat_map(|&lug| far(pole, lug))).collect::<Vec<Lit>>()
    };
    for (index, pole) in task.poles.iter().enumerate() {
        let mut others = task.poles[index + 1..].iter().filter(|other| other.alike == pole.alike).peekable();
        if let Some(next) = others.peek() {
            clauses.not_behind(None, &rows(pole, &pole.lugs), &rows(next, &next.lugs));
        }
        for other in others.filter(|_| pole.separate) {
            let one_net = joints.of(pole.lugs[0], other.lugs[0]);
            for (&lug, &others) in pole.lugs.iter().zip(&other.lugs).skip(1) {
                clauses.not_behind(one_net, &rows(pole, &[lug]), &rows(other, &[others]));
            }
        }
    }
}
