//! The parts from their lug side, wired from lug to lug.

mod blocks;
mod outlines;
mod rows;

pub(super) use outlines::kind;

use super::canvas::Canvas;
use super::geometry::{Drawing, DrawnPart, View, Wire};
use super::harness::harness;
use super::route::{Routed, Task, crossings, route};
use super::tags;
use crate::document::{AssembledKind, Assembly};
use rows::{Page, Side};

/// How often a page with more room is tried.
const TRIES: i32 = 14;

/// The pictorial diagram of an assembly: pickups above as they lie from neck to bridge, selector, pots and jack in a row
/// below, small parts under them. Pots are seen from their lugs' side, so that lug 3 is on the left. A switch stands beside the pot
/// that carries it, on the side where wires cross less.
///
/// Parts and lugs come in the order of the assembly's; a pot has two lugs more, both sides of its case.
pub fn pictorial(assembly: &Assembly) -> Drawing {
    let (drawing, complete) = on_side(assembly, Side::Right);
    if complete
        && !assembly.parts.iter().any(|part| matches!(part.kind, AssembledKind::Switch { carrier: Some(_), .. }))
    {
        return drawing;
    }
    let (other, also_complete) = on_side(assembly, Side::Left);
    let crossings = |drawing: &Drawing| drawing.wires.iter().map(|wire| wire.crossings.len()).sum::<usize>();
    let better = (!also_complete, crossings(&other)) < (!complete, crossings(&drawing));
    if better { other } else { drawing }
}

/// The drawing on the smallest page on which every wire found room, and whether there is one.
fn on_side(assembly: &Assembly, side: Side) -> (Drawing, bool) {
    let mut spread = 0;
    loop {
        let (drawing, complete) = lay(assembly, &Page::new(assembly, spread, side));
        spread += 1;
        if complete || spread == TRIES {
            return (drawing, complete);
        }
    }
}

/// The drawing on a page, and whether every wire and its number found room.
fn lay(assembly: &Assembly, page: &Page) -> (Drawing, bool) {
    let (mut parts, mut texts) = page.parts(assembly);
    let connections = harness(&parts);
    solder_cases(&mut parts, &connections);
    let mut canvas = Canvas::new(page.width, page.height);
    parts.iter().flat_map(|part| &part.bodies).for_each(|body| canvas.block(body));
    let cells = page.lug_cells();
    cells.iter().flatten().for_each(|&cell| canvas.set_terminal(cell));
    let tasks: Vec<Task> = connections
        .iter()
        .map(|connection| Task { pins: [connection.to, connection.from].map(|end| cells[end.part][end.lug]).to_vec() })
        .collect();
    let routed = route(&canvas, &tasks);
    let found = routed.is_some();
    let routed = routed.unwrap_or_else(|| straight(&tasks));
    let crossed = crossings(&canvas, &routed);
    let wires = connections.iter().zip(&routed).zip(&crossed).map(|((connection, routed), crossed)| Wire {
        joint: connection.joint,
        from: Some(connection.from),
        to: Some(connection.to),
        path: routed.paths.iter().flat_map(|(_, path)| path.iter().map(|cell| cell.point())).collect(),
        crossings: crossed.iter().map(|cell| cell.point()).collect(),
    });
    let title = format!("{}: the parts from their lug side, and every wire", assembly.title);
    let wires: Vec<Wire> = wires.collect();
    let numbers = tags::numbers(&parts, &wires, &texts);
    let found = found && numbers.len() == wires.len();
    texts.extend(numbers);
    let (junctions, earths, legend, size) = Default::default();
    let view = View::Pictorial;
    let mut drawing = Drawing { view, title, size, parts, wires, junctions, earths, texts, legend };
    tags::crop(&mut drawing);
    tags::add_legend(&mut drawing, assembly);
    (drawing, found)
}

/// A case counts as soldered where a wire ends.
fn solder_cases(parts: &mut [DrawnPart], connections: &[super::Connection]) {
    for (index, part) in parts.iter_mut().enumerate() {
        for (lug, drawn) in part.lugs.iter_mut().enumerate() {
            let ends = |connection: &super::Connection| {
                [connection.from, connection.to].iter().any(|end| (end.part, end.lug) == (index, lug))
            };
            drawn.soldered = connections.iter().any(ends);
        }
    }
}

fn straight(tasks: &[Task]) -> Vec<Routed> {
    let path = |task: &Task| {
        let (from, to) = (task.pins[1], task.pins[0]);
        vec![from, super::canvas::Cell::new(to.x, from.y), to]
    };
    tasks.iter().map(|task| Routed { paths: vec![(1, path(task))], junctions: Vec::new() }).collect()
}
