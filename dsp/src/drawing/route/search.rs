//! The cheapest way for one wire.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::super::canvas::{Canvas, Cell};
use super::usage::{Passage, Usage, stretch};

/// Price of a step from node to node.
const STEP: u32 = 2;
/// Price of a bend: some three steps, so that a wire rather runs straight.
const BEND: u32 = 7;
/// Price of a crossing: a detour of ten steps is worth it.
const CROSSING: u32 = 20;

/// Right, down, left, up.
const DIRECTIONS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// Working memory of the search.
#[derive(Debug)]
pub(super) struct Search {
    best: Vec<u32>,
    came_from: Vec<u32>,
    touched: Vec<usize>,
    goal: Vec<bool>,
}

impl Search {
    pub fn new(canvas: &Canvas) -> Self {
        let states = canvas.nodes() * 4;
        let goal = vec![false; canvas.nodes()];
        Self { best: vec![u32::MAX; states], came_from: vec![u32::MAX; states], touched: Vec::new(), goal }
    }

    /// Nodes from `from` to the first node of `tree` that it meets.
    pub fn path(
        &mut self,
        canvas: &Canvas,
        usage: &Usage,
        from: usize,
        tree: &[usize],
        pressure: u32,
    ) -> Option<Vec<usize>> {
        tree.iter().for_each(|&node| self.goal[node] = true);
        let around = Around::new(canvas, tree);
        let found = self.explore(canvas, usage, from, &around, pressure);
        let path = found.map(|state| self.trail(from, state));
        tree.iter().for_each(|&node| self.goal[node] = false);
        for state in self.touched.drain(..) {
            (self.best[state], self.came_from[state]) = (u32::MAX, u32::MAX);
        }
        path
    }

    fn explore(
        &mut self,
        canvas: &Canvas,
        usage: &Usage,
        from: usize,
        around: &Around,
        pressure: u32,
    ) -> Option<usize> {
        // A state is a node and the direction in which it was entered.
        let mut open = BinaryHeap::new();
        for direction in 0..4 {
            if let Some((node, price)) = self.step(canvas, usage, from, direction, pressure) {
                let price = price + self.arrival(usage, canvas, node, pressure);
                self.improve(node * 4 + direction, price, u32::MAX, canvas, around, &mut open);
            }
        }
        while let Some(Reverse((_, price, state))) = open.pop() {
            if price > self.best[state] {
                continue;
            }
            let (node, entered) = (state / 4, state % 4);
            if self.goal[node] {
                return Some(state);
            }
            for direction in (0..4).filter(|&direction| direction != (entered + 2) % 4) {
                let passage = match (direction == entered, direction % 2) {
                    (false, _) => Passage::Corner,
                    (true, 0) => Passage::Level,
                    (true, _) => Passage::Upright,
                };
                let (touched, crossed, grudge) = usage.at_node(node, passage);
                let bend = if passage == Passage::Corner { BEND } else { 0 };
                let here = bend + touched * pressure + crossed * CROSSING + grudge;
                if let Some((next, there)) = self.step(canvas, usage, node, direction, pressure) {
                    let price = price + here + there + self.arrival(usage, canvas, next, pressure);
                    let came_from = u32::try_from(state).unwrap_or(u32::MAX);
                    self.improve(next * 4 + direction, price, came_from, canvas, around, &mut open);
                }
            }
        }
        None
    }

    fn improve(
        &mut self,
        state: usize,
        price: u32,
        came_from: u32,
        canvas: &Canvas,
        around: &Around,
        open: &mut BinaryHeap<Reverse<(u32, u32, usize)>>,
    ) {
        if price < self.best[state] {
            if self.best[state] == u32::MAX {
                self.touched.push(state);
            }
            (self.best[state], self.came_from[state]) = (price, came_from);
            open.push(Reverse((price + STEP * around.distance(canvas.cell(state / 4)), price, state)));
        }
    }

    /// The neighbour in a direction, if a wire may go there, and the price of the stretch to it.
    fn step(
        &self,
        canvas: &Canvas,
        usage: &Usage,
        node: usize,
        direction: usize,
        pressure: u32,
    ) -> Option<(usize, u32)> {
        let (dx, dy) = DIRECTIONS[direction];
        let next = canvas.index(canvas.cell(node).moved(dx, dy))?;
        if canvas.is_blocked(next) || (canvas.is_terminal(next) && !self.goal[next]) {
            return None;
        }
        let taken = stretch(node.min(next), direction % 2 == 1);
        let (others, grudge) = usage.on_stretch(taken);
        Some((next, STEP + others * pressure + grudge))
    }

    /// What it costs to join the tree at a node that is no lug.
    fn arrival(&self, usage: &Usage, canvas: &Canvas, node: usize, pressure: u32) -> u32 {
        if !self.goal[node] || canvas.is_terminal(node) {
            return 0;
        }
        let (touched, _, grudge) = usage.at_node(node, Passage::Corner);
        touched * pressure + grudge
    }

    fn trail(&self, from: usize, mut state: usize) -> Vec<usize> {
        let mut states = vec![state];
        while self.came_from[state] != u32::MAX {
            state = self.came_from[state] as usize;
            states.push(state);
        }
        std::iter::once(from).chain(states.iter().rev().map(|state| state / 4)).collect()
    }
}

/// The box around what is looked for: no way is shorter than that to its nearest edge.
struct Around {
    low: Cell,
    high: Cell,
}

impl Around {
    fn new(canvas: &Canvas, tree: &[usize]) -> Self {
        let cells = || tree.iter().map(|&node| canvas.cell(node));
        let (x, y) = (cells().map(|cell| cell.x), cells().map(|cell| cell.y));
        let low = Cell::new(x.clone().min().unwrap_or(0), y.clone().min().unwrap_or(0));
        Self { low, high: Cell::new(x.max().unwrap_or(0), y.max().unwrap_or(0)) }
    }

    fn distance(&self, cell: Cell) -> u32 {
        let off = |at: i32, low: i32, high: i32| (low - at).max(at - high).max(0);
        let distance = off(cell.x, self.low.x, self.high.x) + off(cell.y, self.low.y, self.high.y);
        u32::try_from(distance).unwrap_or(0)
    }
}
