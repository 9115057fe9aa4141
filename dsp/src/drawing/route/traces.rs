//! From node paths to what they take of the grid, to corners, junctions and crossings.

use std::collections::BTreeMap;

use super::super::canvas::{Canvas, Cell};
use super::usage::{Passage, Trace, stretch};
use super::{Laid, Routed};

/// Which of the four sides of a node a task leaves by: right, down, left, up as bits.
type Sides = BTreeMap<usize, u8>;

/// What a task takes of the grid.
pub(super) fn trace(canvas: &Canvas, laid: &Laid) -> Trace {
    let paths = laid.paths.iter().map(|(_, path)| path.as_slice());
    let mut stretches: Vec<usize> = Vec::new();
    for pair in paths.clone().flat_map(|path| path.windows(2)) {
        stretches.push(stretch(pair[0].min(pair[1]), pair[0].abs_diff(pair[1]) != 1));
    }
    let passage = |sides: u8| match sides {
        0b0101 => Passage::Level,
        0b1010 => Passage::Upright,
        _ => Passage::Corner,
    };
    let sides = sides(paths);
    let nodes = sides.into_iter().filter(|&(node, _)| !canvas.is_terminal(node));
    Trace { stretches, nodes: nodes.map(|(node, sides)| (node, passage(sides))).collect() }
}

/// A task's paths as corners, and its junctions.
pub(super) fn routed(canvas: &Canvas, laid: &Laid) -> Routed {
    let sides = sides(laid.paths.iter().map(|(_, path)| path.as_slice()));
    let meets = |&(node, sides): &(usize, u8)| sides.count_ones() > 2 && !canvas.is_terminal(node);
    let junctions = sides.into_iter().filter(meets).map(|(node, _)| canvas.cell(node)).collect();
    let paths = laid.paths.iter().map(|(pin, path)| (*pin, corners(canvas, path))).collect();
    Routed { paths, junctions }
}

/// Where each task crosses a task of a lower number.
pub(super) fn crossings(canvas: &Canvas, routed: &[Routed]) -> Vec<Vec<Cell>> {
    let mut owner: BTreeMap<Cell, usize> = BTreeMap::new();
    let mut found = vec![Vec::new(); routed.len()];
    for (task, routed) in routed.iter().enumerate() {
        for cell in routed.paths.iter().flat_map(|(_, corners)| nodes_between(corners)) {
            let terminal = canvas.index(cell).is_some_and(|index| canvas.is_terminal(index));
            match owner.get(&cell) {
                Some(&other) if other != task && !terminal => found[task].push(cell),
                Some(_) => {}
                None => {
                    owner.insert(cell, task);
                }
            }
        }
    }
    found
}

fn sides<'a>(paths: impl Iterator<Item = &'a [usize]>) -> Sides {
    let mut sides = Sides::new();
    for pair in paths.flat_map(|path| path.windows(2)) {
        let level = pair[0].abs_diff(pair[1]) == 1;
        let (low, high) = (pair[0].min(pair[1]), pair[0].max(pair[1]));
        let (out, back) = if level { (0b0001, 0b0100) } else { (0b0010, 0b1000) };
        *sides.entry(low).or_default() |= out;
        *sides.entry(high).or_default() |= back;
    }
    sides
}

/// First and last node and every bend.
fn corners(canvas: &Canvas, path: &[usize]) -> Vec<Cell> {
    let cells: Vec<Cell> = path.iter().map(|&node| canvas.cell(node)).collect();
    let bends = |i: usize| {
        let (a, b, c) = (cells[i - 1], cells[i], cells[i + 1]);
        (b.x - a.x, b.y - a.y) != (c.x - b.x, c.y - b.y)
    };
    let last = cells.len() - 1;
    (0..=last).filter(|&i| i == 0 || i == last || bends(i)).map(|i| cells[i]).collect()
}

/// Every node of a path given by its corners.
fn nodes_between(corners: &[Cell]) -> impl Iterator<Item = Cell> {
    let step = |pair: &[Cell]| {
        let (a, b) = (pair[0], pair[1]);
        let (dx, dy) = ((b.x - a.x).signum(), (b.y - a.y).signum());
        let count = (b.x - a.x).abs() + (b.y - a.y).abs();
        (0..count).map(move |i| a.moved(dx * i, dy * i))
    };
    corners.windows(2).flat_map(step).chain(corners.last().copied())
}
