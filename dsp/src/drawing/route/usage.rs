//! Who runs where: how often each stretch and node is taken, and how contested it was.

use super::super::canvas::Canvas;

/// How a wire passes a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Passage {
    /// From side to side.
    Level,
    /// From top to bottom.
    Upright,
    /// A bend, a junction or an end.
    Corner,
}

/// What a task takes: stretches (see [`stretch`]) and nodes.
#[derive(Debug, Clone, Default)]
pub(super) struct Trace {
    pub stretches: Vec<usize>,
    pub nodes: Vec<(usize, Passage)>,
}

/// Who runs where.
#[derive(Debug, Clone)]
pub(super) struct Usage {
    stretches: Vec<u16>,
    /// Level, upright, corner.
    nodes: Vec<[u16; 3]>,
    stretch_history: Vec<u32>,
    node_history: Vec<u32>,
}

/// The stretch from a node to its right (or, if `upright`, lower) neighbour.
pub(super) fn stretch(node: usize, upright: bool) -> usize {
    2 * node + usize::from(upright)
}

impl Usage {
    pub fn new(canvas: &Canvas) -> Self {
        let count = canvas.nodes();
        Self {
            stretches: vec![0; 2 * count],
            nodes: vec![[0; 3]; count],
            stretch_history: vec![0; 2 * count],
            node_history: vec![0; count],
        }
    }

    pub fn add(&mut self, trace: &Trace) {
        trace.stretches.iter().for_each(|&stretch| self.stretches[stretch] += 1);
        trace.nodes.iter().for_each(|&(node, passage)| self.nodes[node][passage as usize] += 1);
    }

    pub fn remove(&mut self, trace: &Trace) {
        trace.stretches.iter().for_each(|&stretch| self.stretches[stretch] -= 1);
        trace.nodes.iter().for_each(|&(node, passage)| self.nodes[node][passage as usize] -= 1);
    }

    /// Others on a stretch, and what it cost before.
    pub fn on_stretch(&self, stretch: usize) -> (u32, u32) {
        (u32::from(self.stretches[stretch]), self.stretch_history[stretch])
    }

    /// For a passage through a node: others that it would touch, others that it would cross, and what it cost before.
    pub fn at_node(&self, node: usize, passage: Passage) -> (u32, u32, u32) {
        let [level, upright, corner] = self.nodes[node].map(u32::from);
        let (touched, crossed) = match passage {
            Passage::Level => (level + corner, upright),
            Passage::Upright => (upright + corner, level),
            Passage::Corner => (level + upright + corner, 0),
        };
        (touched, crossed, self.node_history[node])
    }

    /// How many places a trace that has been added shares with others.
    pub fn conflicts(&self, trace: &Trace) -> u32 {
        let stretches = trace.stretches.iter().filter(|&&stretch| self.stretches[stretch] > 1).count();
        let nodes = trace.nodes.iter().filter(|&&(node, passage)| self.at_node(node, passage).0 > 1).count();
        u32::try_from(stretches + nodes).unwrap_or(u32::MAX)
    }

    /// The same, and makes those places dearer by a grudge.
    pub fn remember(&mut self, trace: &Trace, grudge: u32) -> u32 {
        for &stretch in trace.stretches.iter().filter(|&&stretch| self.stretches[stretch] > 1) {
            self.stretch_history[stretch] += grudge;
        }
        for &(node, passage) in &trace.nodes {
            if self.at_node(node, passage).0 > 1 {
                self.node_history[node] += grudge;
            }
        }
        self.conflicts(trace)
    }

    /// Forgets what was contested.
    pub fn forget(&mut self) {
        self.stretch_history.fill(0);
        self.node_history.fill(0);
    }
}
