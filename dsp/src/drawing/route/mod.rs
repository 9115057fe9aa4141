//! Wires on a grid: each on lanes of its own, crossing others at right angles only.
//!
//! Every wire is first laid where it is cheapest, then those that share a lane with another are taken up and laid again
//! while the price of contested places rises: negotiated congestion (McMurchie and Ebeling, "PathFinder: a
//! negotiation-based performance-driven router for FPGAs", FPGA 1995). The search for one wire is A* (Hart, Nilsson and
//! Raphael, 1968) over nodes and directions, with prices for length, bends and crossings.

mod search;
mod traces;
mod usage;

use super::canvas::{Canvas, Cell};
use search::Search;
use usage::{Trace, Usage};

/// Terminals that are to be joined.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Task {
    /// Two lugs for a wire; more for a net, which becomes a tree.
    pub pins: Vec<Cell>,
}

/// How a task was joined.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Routed {
    /// One path for every pin but the first: corners from that pin to the first pin or to what was joined before.
    pub paths: Vec<(usize, Vec<Cell>)>,
    /// Nodes where three stretches or more meet, terminals apart.
    pub junctions: Vec<Cell>,
}

/// Rounds of negotiation before the page is called too small.
const ROUNDS: u32 = 60;

/// Joins every task. None when there is too little room on the canvas.
pub(super) fn route(canvas: &Canvas, tasks: &[Task]) -> Option<Vec<Routed>> {
    let mut router = Router::new(canvas, tasks);
    router.negotiate().then(|| {
        router.settle();
        router.laid.iter().map(|laid| traces::routed(canvas, laid)).collect()
    })
}

/// Where two wires cross, for each task: the other one's number is higher.
pub(super) fn crossings(canvas: &Canvas, routed: &[Routed]) -> Vec<Vec<Cell>> {
    traces::crossings(canvas, routed)
}

/// One task as laid: its pins' node indices and a node path for every pin but the first.
#[derive(Debug, Clone, Default)]
struct Laid {
    paths: Vec<(usize, Vec<usize>)>,
}

struct Router<'a> {
    canvas: &'a Canvas,
    pins: Vec<Vec<usize>>,
    usage: Usage,
    search: Search,
    laid: Vec<Laid>,
    /// Short tasks first.
    order: Vec<usize>,
}

impl<'a> Router<'a> {
    fn new(canvas: &'a Canvas, tasks: &[Task]) -> Self {
        let mut order: Vec<usize> = (0..tasks.len()).collect();
        order.sort_by_key(|&task| (span(&tasks[task]), task));
        let pins = tasks.iter().map(|task| task.pins.iter().filter_map(|&pin| canvas.index(pin)).collect()).collect();
        let laid = vec![Laid::default(); tasks.len()];
        Self { canvas, pins, usage: Usage::new(canvas), search: Search::new(canvas), laid, order }
    }

    /// Whether every task found lanes of its own.
    fn negotiate(&mut self) -> bool {
        let mut pressure = 8;
        for round in 0..ROUNDS {
            for task in self.order.clone() {
                let contested = round == 0 || self.usage.conflicts(&self.trace(task)) > 0;
                if contested && !self.lay(task, pressure) {
                    return false;
                }
            }
            let traces: Vec<Trace> = (0..self.laid.len()).map(|task| self.trace(task)).collect();
            let conflicts: u32 = traces.iter().map(|trace| self.usage.remember(trace, 4 + pressure / 3)).sum();
            if conflicts == 0 {
                return true;
            }
            // Grudges have to catch up with it, or wires would shift one conflict to and fro.
            pressure = (pressure + pressure / 3).min(200);
        }
        false
    }

    /// Lays each task once more, now that the others lie well. Never makes the whole dearer.
    fn settle(&mut self) {
        const PASSES: usize = 3;
        const FORBIDDING: u32 = 100_000;
        self.usage.forget();
        for _ in 0..PASSES {
            for task in self.order.clone() {
                let before = self.laid[task].clone();
                let kept = self.trace(task);
                let laid = self.lay(task, FORBIDDING);
                if !laid || self.usage.conflicts(&self.trace(task)) > 0 {
                    self.usage.remove(&self.trace(task));
                    self.laid[task] = before;
                    self.usage.add(&kept);
                }
            }
        }
    }

    /// Takes a task up and lays it anew.
    fn lay(&mut self, task: usize, pressure: u32) -> bool {
        self.usage.remove(&self.trace(task));
        self.laid[task] = Laid::default();
        let pins = &self.pins[task];
        let mut tree = vec![pins[0]];
        let mut left: Vec<usize> = (1..pins.len()).collect();
        let mut paths = Vec::new();
        while !left.is_empty() {
            let near = |&pin: &usize| (self.distance(pins[pin], &tree), pin);
            let place = (0..left.len()).min_by_key(|&place| near(&left[place])).unwrap_or_default();
            let pin = left.remove(place);
            let Some(path) = self.search.path(self.canvas, &self.usage, pins[pin], &tree, pressure) else {
                return false;
            };
            tree.extend(&path);
            paths.push((pin, path));
        }
        self.laid[task] = Laid { paths };
        self.usage.add(&self.trace(task));
        true
    }

    fn trace(&self, task: usize) -> Trace {
        traces::trace(self.canvas, &self.laid[task])
    }

    fn distance(&self, from: usize, tree: &[usize]) -> i32 {
        let from = self.canvas.cell(from);
        let to = |&node: &usize| {
            let node = self.canvas.cell(node);
            (node.x - from.x).abs() + (node.y - from.y).abs()
        };
        tree.iter().map(to).min().unwrap_or(0)
    }
}

fn span(task: &Task) -> i32 {
    let range = |of: fn(&Cell) -> i32| {
        let (low, high) = (task.pins.iter().map(of).min(), task.pins.iter().map(of).max());
        high.unwrap_or(0) - low.unwrap_or(0)
    };
    range(|pin| pin.x) + range(|pin| pin.y)
}
