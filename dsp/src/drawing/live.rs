//! What carries the signal where the controls stand.

use std::collections::BTreeSet;

use super::geometry::{Contact, Drawing, DrawnKind, DrawnPart, Point, Wire};
use crate::circuit::{Controls, ON_DB, closed_lugs, joined, sounding};
use crate::document::{AssembledKind, Assembly};

/// What carries the signal where the controls stand. Ground carries it back and is never counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Live {
    /// By joint: whether the signal passes it on its way from a sounding pickup to the jack's tip.
    pub joints: Vec<bool>,
    /// By part of the assembly: the position in which a selector or switch stands, from 1; none for other parts.
    pub positions: Vec<(String, u8)>,
    /// Names of the lugs that the signal enters or leaves by.
    lugs: BTreeSet<String>,
}

impl Live {
    /// What is live in an assembly for these controls.
    pub fn new(assembly: &Assembly, controls: &Controls) -> Self {
        let links = Links::new(assembly, controls);
        let joints = links.passed(assembly);
        let mut lugs = BTreeSet::new();
        for (part, groups) in assembly.parts.iter().zip(&links.groups) {
            for group in groups {
                let passed: Vec<usize> = group.iter().copied().filter(|&lug| joints[part.joints[lug]]).collect();
                let apart: BTreeSet<usize> = passed.iter().map(|&lug| part.joints[lug]).collect();
                let is_end = matches!(part.kind, AssembledKind::Pickup(_) | AssembledKind::Jack);
                if apart.len() > 1 || (is_end && !apart.is_empty()) {
                    lugs.extend(passed.iter().map(|&lug| format!("{}.{}", part.name, part.lugs[lug])));
                }
            }
        }
        let positions = assembly.parts.iter().filter_map(|part| {
            let AssembledKind::Switch { index, .. } = &part.kind else { return None };
            Some((part.name.clone(), index.map_or(controls.position, |index| controls.switches[index])))
        });
        Self { joints, positions: positions.collect(), lugs }
    }

    /// Whether a drawn wire carries signal: it lies between two lugs by which the signal enters or leaves its joint.
    pub fn wires(&self, drawing: &Drawing) -> Vec<bool> {
        drawing.wires.iter().enumerate().map(|(index, _)| self.is_live(drawing, index)).collect()
    }

    /// Whether a contact of a drawn part is closed.
    pub fn is_closed(&self, part: &DrawnPart, contact: &Contact) -> bool {
        let is_switch = matches!(part.kind, DrawnKind::Selector | DrawnKind::Switch(_));
        is_switch && self.positions.iter().any(|(name, at)| *name == part.name && *at == contact.position)
    }

    /// Whether a closed contact carries signal.
    pub fn carries(&self, part: &DrawnPart, contact: &Contact) -> bool {
        let live = |&lug: &usize| self.lugs.contains(&part.lugs[lug].name);
        self.is_closed(part, contact) && contact.lugs.iter().filter(|lug| live(lug)).count() > 1
    }

    /// Parts the wires of the joint at this one and asks whether signal enters on both sides.
    fn is_live(&self, drawing: &Drawing, index: usize) -> bool {
        let wire = &drawing.wires[index];
        let joint = wire.joint;
        if wire.joint == Assembly::GROUND || !self.joints.get(wire.joint).copied().unwrap_or(false) {
            return false;
        }
        let ends = |wire: &Wire| [wire.path[0], wire.path[wire.path.len() - 1]];
        let others = || drawing.wires.iter().enumerate().filter(|(other, wire)| *other != index && wire.joint == joint);
        let side = |start: Point| {
            let mut reached = vec![start];
            let mut next = 0;
            while next < reached.len() {
                let here = reached[next];
                for (_, other) in others().filter(|(_, other)| ends(other).contains(&here)) {
                    for end in ends(other) {
                        if !reached.contains(&end) {
                            reached.push(end);
                        }
                    }
                }
                next += 1;
            }
            let lugs = drawing.lugs().filter(|(_, lug)| lug.joint == joint && reached.contains(&lug.at));
            lugs.into_iter().any(|(_, lug)| self.lugs.contains(&lug.name))
        };
        let [start, end] = ends(wire);
        side(start) && side(end)
    }
}

/// What conducts where the controls stand.
struct Links {
    /// By part: groups of lugs that the part joins for the signal.
    groups: Vec<Vec<Vec<usize>>>,
    /// Indices of the parts that are sounding pickups.
    sources: Vec<usize>,
    /// By joint: whether it is on ground.
    grounded: Vec<bool>,
}

impl Links {
    fn new(assembly: &Assembly, controls: &Controls) -> Self {
        let sounding = sounding(assembly, controls, ON_DB).unwrap_or_default();
        let sounds = |pickup: usize| sounding.get(pickup).copied().unwrap_or(false);
        // What a closed contact puts on ground carries the signal back, too.
        let grounded = joined(assembly, controls).into_iter().map(|lowest| lowest == Assembly::GROUND).collect();
        let mut links = Self { groups: Vec::new(), sources: Vec::new(), grounded };
        for (index, part) in assembly.parts.iter().enumerate() {
            links.groups.push(match &part.kind {
                AssembledKind::Switch { .. } => closed_lugs(part, controls),
                AssembledKind::Pot { .. } => vec![vec![1, 2], vec![0, 1]],
                AssembledKind::Pickup(pickup) if sounds(*pickup) => {
                    links.sources.push(index);
                    vec![vec![0, 1]]
                }
                AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. } => vec![vec![0, 1]],
                AssembledKind::Jack => vec![vec![0]],
                AssembledKind::Pickup(_) => Vec::new(),
            });
        }
        links
    }

    /// Joints on a shortest way from a sounding pickup to the jack's tip that does not touch ground: what only hangs on
    /// that way, such as a tone pot, is not on it.
    fn passed(&self, assembly: &Assembly) -> Vec<bool> {
        let from_tip = self.steps(assembly, assembly.tip());
        let mut passed = vec![false; assembly.joints.len()];
        for &source in &self.sources {
            for &start in &assembly.parts[source].joints {
                let Some(length) = from_tip[start] else { continue };
                let from_start = self.steps(assembly, start);
                for (joint, passed) in passed.iter_mut().enumerate() {
                    let sum = from_start[joint].zip(from_tip[joint]).map(|(a, b)| a + b);
                    *passed |= sum == Some(length);
                }
            }
        }
        passed
    }

    /// Links from a joint to every other; none where no way leads.
    fn steps(&self, assembly: &Assembly, start: usize) -> Vec<Option<usize>> {
        let mut steps = vec![None; assembly.joints.len()];
        if self.grounded[start] {
            return steps;
        }
        steps[start] = Some(0);
        let mut front = vec![start];
        let mut count = 0;
        while !front.is_empty() {
            count += 1;
            let mut next = Vec::new();
            for (part, groups) in assembly.parts.iter().zip(&self.groups) {
                for group in groups {
                    let joints: Vec<usize> = group.iter().map(|&lug| part.joints[lug]).collect();
                    if !joints.iter().any(|joint| front.contains(joint)) {
                        continue;
                    }
                    for joint in joints.into_iter().filter(|&joint| !self.grounded[joint]) {
                        if steps[joint].is_none() {
                            steps[joint] = Some(count);
                            next.push(joint);
                        }
                    }
                }
            }
            front = next;
        }
        steps
    }
}
