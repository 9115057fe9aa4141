//! Which lug is wired to which: every joint becomes wires from lug to lug, as they are soldered.

use super::geometry::{DrawnKind, DrawnPart, LugPlace, Point};
use crate::document::Assembly;

/// One wire, or one lead of a part, from lug to lug.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Connection {
    /// The joint it belongs to.
    pub joint: usize,
    /// Where it begins. Parts and lugs are counted as in the assembly; a pot's case comes behind its lugs.
    pub from: LugPlace,
    /// Where it ends.
    pub to: LugPlace,
}

/// What a pot's case is called as a lug: where ground wires are soldered.
pub(super) const CASE: &str = "case";

/// Most wires on one lug.
const MOST_ON_A_LUG: usize = 3;
/// What a further wire on a lug costs, as if it lay so much farther, in millimetres.
const CROWDED: f64 = 12.0;

/// The wires that join every joint's lugs, short ones, in soldering order.
pub(super) fn harness(parts: &[DrawnPart]) -> Vec<Connection> {
    let joints = parts.iter().flat_map(|part| part.lugs.iter().map(|lug| lug.joint + 1)).max().unwrap_or(0);
    let mut connections: Vec<Connection> = (0..joints).flat_map(|joint| Tree::new(parts, joint).grow()).collect();
    connections.sort_by_key(|connection| (stage(parts, connection), connection.from, connection.to));
    connections
}

/// Whether a lug is a pot's case.
fn is_case(parts: &[DrawnPart], place: LugPlace) -> bool {
    parts[place.part].kind == DrawnKind::Pot && parts[place.part].lugs[place.lug].name.ends_with(CASE)
}

/// When a wire is soldered: what sits on the pots first, the pickups last, so that they are not in the way.
fn stage(parts: &[DrawnPart], connection: &Connection) -> u8 {
    let ends = [connection.from, connection.to];
    let has = |kind: DrawnKind| ends.iter().any(|end| parts[end.part].kind == kind);
    match () {
        () if has(DrawnKind::Pickup) => 6 + u8::from(connection.joint != Assembly::GROUND),
        () if has(DrawnKind::Jack) => 5,
        () if has(DrawnKind::Capacitor) || has(DrawnKind::Resistor) => 3,
        () if ends[0].part == ends[1].part && has(DrawnKind::Pot) => 0,
        () if ends.iter().all(|&end| is_case(parts, end)) => 1,
        () if ends[0].part == ends[1].part => 2,
        () => 4,
    }
}

/// The lugs of one joint, being joined.
struct Tree<'a> {
    parts: &'a [DrawnPart],
    joint: usize,
    /// Lugs that may carry several wires, then those that should carry one.
    waiting: Vec<LugPlace>,
    joined: Vec<(LugPlace, usize)>,
}

impl<'a> Tree<'a> {
    fn new(parts: &'a [DrawnPart], joint: usize) -> Self {
        let mut waiting = Vec::new();
        for (part, drawn) in parts.iter().enumerate() {
            let on_joint = |lug: &usize| drawn.lugs[*lug].joint == joint && drawn.lugs[*lug].soldered;
            waiting.extend((0..drawn.lugs.len()).filter(on_joint).map(|lug| LugPlace { part, lug }));
        }
        Self { parts, joint, waiting, joined: Vec::new() }
    }

    fn grow(mut self) -> Vec<Connection> {
        let mut connections = Vec::new();
        let first = (0..self.waiting.len()).min_by_key(|&index| (self.rank(self.waiting[index]), index));
        let Some(first) = first else { return connections };
        self.take(first);
        while let Some((joined, waiting)) = self.nearest() {
            let (from, to) = (self.joined[joined].0, self.waiting[waiting]);
            self.joined[joined].1 += 1;
            self.take(waiting);
            let place = self.joined.iter().position(|(place, _)| *place == to);
            if let Some(place) = place {
                self.joined[place].1 += 1;
            }
            connections.push(Connection { joint: self.joint, from: from.min(to), to: from.max(to) });
        }
        connections
    }

    /// Moves a waiting lug to the joined ones; the other side of a pot's case comes with it, being the same metal.
    fn take(&mut self, waiting: usize) {
        let place = self.waiting.remove(waiting);
        self.joined.push((place, 0));
        if is_case(self.parts, place) {
            let same = |other: &LugPlace| other.part == place.part && is_case(self.parts, *other);
            if let Some(other) = self.waiting.iter().position(same) {
                let other = self.waiting.remove(other);
                self.joined.push((other, 0));
            }
        }
    }

    /// The cheapest pair of a joined and a waiting lug: indices into both lists.
    fn nearest(&self) -> Option<(usize, usize)> {
        let rank = self.waiting.iter().map(|&place| self.rank(place)).min()?;
        let waiting = (0..self.waiting.len()).filter(|&index| self.rank(self.waiting[index]) == rank);
        let pairs = waiting.flat_map(|waiting| (0..self.joined.len()).map(move |joined| (joined, waiting)));
        pairs.min_by(|a, b| self.cost(*a).total_cmp(&self.cost(*b)))
    }

    fn cost(&self, (joined, waiting): (usize, usize)) -> f64 {
        let ((from, wires), to) = (self.joined[joined], self.waiting[waiting]);
        let (a, b) = (self.place(from), self.place(to));
        let full = if wires >= MOST_ON_A_LUG { 1e6 } else { 0.0 };
        let end = if self.rank(from) > 0 { 1e3 } else { 0.0 };
        (a.x - b.x).abs() + (a.y - b.y).abs() + CROWDED * wires as f64 + full + end
    }

    fn place(&self, place: LugPlace) -> Point {
        self.parts[place.part].lugs[place.lug].at
    }

    /// 0 for lugs that wires may be carried on from, more for those that are ends: leads, pickups, the jack.
    fn rank(&self, place: LugPlace) -> u8 {
        match self.parts[place.part].kind {
            DrawnKind::Pot | DrawnKind::Selector | DrawnKind::Switch(_) => 0,
            DrawnKind::Capacitor | DrawnKind::Resistor => 1,
            DrawnKind::Jack => 2,
            DrawnKind::Pickup => 3,
        }
    }
}
