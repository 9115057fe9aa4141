//! The grid that parts sit on and wires run along, and what stands in the way.

use super::geometry::{Point, Rect};

/// A node of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub(super) struct Cell {
    pub x: i32,
    pub y: i32,
}

/// Distance between two nodes and so between two lanes, in millimetres.
pub(super) const PITCH: f64 = 2.5;

/// The nodes of a page, and which of them a wire may not enter.
#[derive(Debug, Clone)]
pub(super) struct Canvas {
    pub width: i32,
    pub height: i32,
    blocked: Vec<bool>,
    terminal: Vec<bool>,
}

impl Cell {
    pub const fn new(x: i32, y: i32) -> Self {
        Self { x, y }
    }

    pub fn moved(self, x: i32, y: i32) -> Self {
        Self { x: self.x + x, y: self.y + y }
    }

    pub fn point(self) -> Point {
        Point::new(f64::from(self.x) * PITCH, f64::from(self.y) * PITCH)
    }
}

impl Canvas {
    pub fn new(width: i32, height: i32) -> Self {
        let count = usize::try_from(width * height).unwrap_or_default();
        Self { width, height, blocked: vec![false; count], terminal: vec![false; count] }
    }

    pub fn index(&self, cell: Cell) -> Option<usize> {
        let inside = (0..self.width).contains(&cell.x) && (0..self.height).contains(&cell.y);
        inside.then(|| usize::try_from(cell.y * self.width + cell.x).ok()).flatten()
    }

    pub fn cell(&self, index: usize) -> Cell {
        let index = i32::try_from(index).unwrap_or_default();
        Cell::new(index % self.width, index / self.width)
    }

    pub fn nodes(&self) -> usize {
        self.blocked.len()
    }

    /// Keeps wires out of a rectangle, its edge included.
    pub fn block(&mut self, area: &Rect) {
        let inward = |low: f64| (low / PITCH - 1e-6).ceil() as i32;
        let outward = |high: f64| (high / PITCH + 1e-6).floor() as i32;
        for y in inward(area.top)..=outward(area.bottom) {
            for x in inward(area.left)..=outward(area.right) {
                if let Some(index) = self.index(Cell::new(x, y)) {
                    self.blocked[index] = true;
                }
            }
        }
    }

    /// Makes a node a lug: only wires that end there may enter it.
    pub fn set_terminal(&mut self, cell: Cell) {
        if let Some(index) = self.index(cell) {
            (self.terminal[index], self.blocked[index]) = (true, false);
        }
    }

    pub fn is_blocked(&self, index: usize) -> bool {
        self.blocked[index]
    }

    pub fn is_terminal(&self, index: usize) -> bool {
        self.terminal[index]
    }
}
