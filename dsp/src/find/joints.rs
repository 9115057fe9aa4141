//! Which elements are on one net, as literals: a partition of lugs and leads in clauses.

use batsat::Lit;

use super::clauses::Clauses;
use super::nets::{Nets, bits};
use super::task::{Pole, Task};

/// One literal for each pair of elements: both are on one net.
///
/// There is none for throws that different positions of the selector close and nothing else does: nothing is ever asked of such a
/// pair, because what they share they share with something lasting.
pub(super) struct Joints {
    pairs: Vec<Option<Lit>>,
    /// By lug: whether anything is joined to it.
    joined: Vec<Lit>,
    leads: usize,
    count: usize,
}

impl Joints {
    /// A literal for every pair, with the clauses that make them a partition in which the `unused` are alone.
    pub fn new(task: &Task, unused: u64, clauses: &mut Clauses<'_>) -> Self {
        let count = task.elements.len();
        let throws: Vec<Option<usize>> = (0..count).map(|element| only_position(task, element)).collect();
        let mut pairs = Vec::new();
        for (low, high) in (0..count).flat_map(|high| (0..high).map(move |low| (low, high))) {
            let apart = throws[low].is_some() && throws[high].is_some() && throws[low] != throws[high];
            pairs.push((!apart).then(|| clauses.choice()));
        }
        let mut joints = Self { pairs, joined: Vec::new(), leads: task.leads, count };
        for lug in bits(unused) {
            joints.others(lug).for_each(|(_, joint)| clauses.add(&[!joint]));
        }
        for c in 0..count {
            for b in 0..c {
                for a in 0..b {
                    if let (Some(ab), Some(bc), Some(ac)) = (joints.of(a, b), joints.of(b, c), joints.of(a, c)) {
                        clauses.add(&[!ab, !bc, ac]);
                        clauses.add(&[!ab, !ac, bc]);
                        clauses.add(&[!ac, !bc, ab]);
                    }
                }
            }
        }
        joints.joined = (task.leads..count).map(|lug| joints.any(lug, clauses)).collect();
        joints
    }

    /// Whether two different elements are on one net.
    pub fn of(&self, a: usize, b: usize) -> Option<Lit> {
        let (low, high) = (a.min(b), a.max(b));
        self.pairs[high * (high - 1) / 2 + low]
    }

    /// Everything that an element may be joined to, with the literal.
    pub fn others(&self, element: usize) -> impl Iterator<Item = (usize, Lit)> {
        let others = (0..self.count).filter(move |&other| other != element);
        others.filter_map(move |other| Some((other, self.of(element, other)?)))
    }

    /// Whether anything is joined to a lug.
    pub fn joined(&self, lug: usize) -> Lit {
        self.joined[lug - self.leads]
    }

    /// Every pair of elements with its literal.
    pub fn all(&self) -> impl Iterator<Item = ((usize, usize), Lit)> {
        let pairs = (0..self.count).flat_map(|high| (0..high).map(move |low| (low, high)));
        pairs.zip(&self.pairs).filter_map(|(pair, joint)| Some((pair, (*joint)?)))
    }

    /// The nets that `holds` makes.
    pub fn nets(&self, holds: impl Fn(Lit) -> bool) -> Nets {
        let mut nets = Nets::new(self.count);
        for ((a, b), literal) in self.all() {
            if holds(literal) {
                nets.join(a, b);
            }
        }
        nets
    }

    /// The literals of which all are true when these nets are part of what is joined.
    pub fn holding(&self, task: &Task, nets: &Nets) -> Vec<Lit> {
        let mut literals = Vec::new();
        for net in nets.all().filter(|net| net.count_ones() > 1) {
            let lasting = bits(net).find(|&element| only_position(task, element).is_none());
            let base = lasting.unwrap_or(net.trailing_zeros() as usize);
            literals.extend(bits(net & !(1 << base)).filter_map(|element| self.of(base, element)));
        }
        literals
    }

    fn any(&self, lug: usize, clauses: &mut Clauses<'_>) -> Lit {
        let joined = clauses.choice();
        let mut any = vec![!joined];
        for (_, joint) in self.others(lug) {
            clauses.add(&[!joint, joined]);
            any.push(joint);
        }
        clauses.add(&any);
        joined
    }
}

/// The position in which a throw of the selector is closed, when it is separate and closed in no other.
fn only_position(task: &Task, element: usize) -> Option<usize> {
    let separate = |pole: &&Pole| pole.separate && pole.lugs[1..].contains(&element);
    task.poles_of(0).find(separate)?;
    let closed = |contacts: &Vec<u64>| contacts.iter().any(|contact| contact >> element & 1 == 1);
    task.states.iter().find(|state| closed(&state.contacts)).map(|state| state.position)
}
