//! The circuit in symbols of IEC 60617, signal from the pickups on the left to the jack on the right.

mod columns;
mod links;
mod symbols;

use super::canvas::{Canvas, Cell, PITCH};
use super::geometry::{Contact, Drawing, DrawnPart, Lug, LugPlace, Point, Rect, Text, View, Wire};
use super::pictorial::kind;
use super::route::{Routed, Task, crossings, route};
use super::tags;
use super::text::fitted;
use crate::document::{AssembledKind, Assembly};
use columns::{Stand, is_shared, stand};
use symbols::Way;

/// How often a page with more room is tried.
const TRIES: i32 = 10;

/// The schematic of an assembly. A switch has a symbol for every pole that something is soldered to, all of one name.
pub fn schematic(assembly: &Assembly) -> Drawing {
    let mut spread = 0;
    loop {
        let (stands, size) = stand(assembly, spread);
        match lay(assembly, &stands, size, spread + 1 >= TRIES) {
            Some(drawing) => return drawing,
            None => spread += 1,
        }
    }
}

/// The drawing on a page of that size; none where the wires find no way, unless it is the last try, which then lacks
/// them.
fn lay(assembly: &Assembly, stands: &[Stand], size: Cell, last: bool) -> Option<Drawing> {
    let (mut parts, texts): (Vec<DrawnPart>, Vec<Vec<Text>>) = stands.iter().map(|stand| draw(assembly, stand)).unzip();
    links::link(assembly, stands, &mut parts);
    let texts: Vec<Text> = texts.into_iter().flatten().collect();
    let mut canvas = Canvas::new(size.x, size.y);
    parts.iter().flat_map(|part| &part.bodies).for_each(|body| canvas.block(body));
    let mut wires = Vec::new();
    let mut earths = Vec::new();
    let mut nets: Vec<(usize, Vec<(LugPlace, Cell)>)> = Vec::new();
    for (part, stand) in stands.iter().enumerate() {
        for (lug, &(pin, way)) in stand.symbol.pins.iter().enumerate() {
            let (place, cell) = (LugPlace { part, lug }, stand.corner.moved(pin.x, pin.y));
            canvas.set_terminal(cell);
            let joint = parts[part].lugs[lug].joint;
            if joint == Assembly::GROUND {
                let path = to_earth(cell, way);
                let end = path[path.len() - 1];
                // The symbol, and a lane below it.
                canvas.block(&Rect::around(end.moved(Point::new(0.0, PITCH / 2.0)), 2.0 * PITCH, PITCH));
                path.iter().for_each(|&corner| canvas.block(&Rect::around(corner, 0.1, 0.1)));
                earths.push(end);
                wires.push(Wire { joint, from: Some(place), to: None, path, crossings: Vec::new() });
            } else if parts[part].lugs[lug].soldered {
                match nets.iter_mut().find(|(known, _)| *known == joint) {
                    Some((_, pins)) => pins.push((place, cell)),
                    None => nets.push((joint, vec![(place, cell)])),
                }
            }
        }
    }
    nets.retain(|(_, pins)| pins.len() > 1);
    let tasks: Vec<Task> =
        nets.iter().map(|(_, pins)| Task { pins: pins.iter().map(|&(_, cell)| cell).collect() }).collect();
    let routed = match route(&canvas, &tasks) {
        Some(routed) => routed,
        None if last => vec![Routed::default(); tasks.len()],
        None => return None,
    };
    let crossed = crossings(&canvas, &routed);
    let mut junctions = Vec::new();
    for (((joint, pins), routed), crossed) in nets.iter().zip(&routed).zip(&crossed) {
        junctions.extend(routed.junctions.iter().map(|cell| (cell.point(), *joint)));
        for stretch in routed.paths.iter().flat_map(|(_, corners)| split(corners, &routed.junctions)) {
            wires.push(wire(*joint, pins, &stretch, crossed));
        }
    }
    // A lug with two wires is a junction too, since its own lead meets them there.
    for lug in parts.iter().flat_map(|part| &part.lugs) {
        let ends = |wire: &&Wire| wire.path.first() == Some(&lug.at) || wire.path.last() == Some(&lug.at);
        if lug.joint != Assembly::GROUND && wires.iter().filter(ends).count() > 1 {
            junctions.push((lug.at, lug.joint));
        }
    }
    let title = format!("{}: schematic", assembly.title);
    let (legend, size) = Default::default();
    let view = View::Schematic;
    let mut drawing = Drawing { view, title, size, parts, wires, junctions, earths, texts, legend };
    tags::crop(&mut drawing);
    tags::add_legend(&mut drawing, assembly);
    Some(drawing)
}

/// A path in pieces from junction to junction.
fn split(corners: &[Cell], junctions: &[Cell]) -> Vec<Vec<Cell>> {
    let mut pieces = Vec::new();
    let mut piece: Vec<Cell> = corners.first().copied().into_iter().collect();
    for pair in corners.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (dx, dy) = ((b.x - a.x).signum(), (b.y - a.y).signum());
        for step in 1..=(b.x - a.x).abs() + (b.y - a.y).abs() {
            let at = a.moved(dx * step, dy * step);
            if junctions.contains(&at) && corners.last() != Some(&at) {
                piece.push(at);
                pieces.push(std::mem::replace(&mut piece, vec![at]));
            }
        }
        if piece.last() != Some(&b) {
            piece.push(b);
        }
    }
    pieces.push(piece);
    pieces
}

fn wire(joint: usize, pins: &[(LugPlace, Cell)], corners: &[Cell], crossed: &[Cell]) -> Wire {
    let path: Vec<Point> = corners.iter().map(|cell| cell.point()).collect();
    let at = |end: Option<&Cell>| pins.iter().find(|(_, cell)| Some(cell) == end).map(|&(place, _)| place);
    let on = |at: &Point| path.windows(2).any(|pair| Rect::around(*at, 0.1, 0.1).is_entered(pair[0], pair[1]));
    let crossings = crossed.iter().map(|cell| cell.point()).filter(on).collect();
    Wire { joint, from: at(corners.first()), to: at(corners.last()), path, crossings }
}

/// From a pin on ground to its earth symbol, which always hangs downwards.
fn to_earth(pin: Cell, way: Way) -> Vec<Point> {
    let corners = match way {
        Way::Down | Way::Left | Way::Right => vec![pin, pin.moved(0, 1)],
        // Beside the symbol, on the side that has no words.
        Way::Up => vec![pin, pin.moved(3, 0), pin.moved(3, 1)],
    };
    corners.into_iter().map(Cell::point).collect()
}

/// A symbol in its place, and its texts.
fn draw(assembly: &Assembly, stand: &Stand) -> (DrawnPart, Vec<Text>) {
    let (by, symbol, part) = (stand.corner.point(), &stand.symbol, &assembly.parts[stand.part]);
    let lug = |(&lug, &(pin, _)): (&usize, &(Cell, Way))| Lug {
        name: format!("{}.{}", part.name, part.lugs[lug]),
        at: stand.corner.moved(pin.x, pin.y).point(),
        joint: part.joints[lug],
        soldered: is_shared(assembly, part.joints[lug]),
    };
    let drawn = DrawnPart {
        name: part.name.clone(),
        kind: kind(part),
        bodies: symbol.bodies.iter().map(|body| body.moved(by)).collect(),
        shapes: symbol.shapes.iter().map(|shape| shape.moved(by)).collect(),
        lugs: stand.lugs.iter().zip(&symbol.pins).map(lug).collect(),
        contacts: contacts(assembly, stand),
    };
    let text = |(text, middle, width, size, role): &(String, Point, f64, f64, _)| {
        fitted(text, middle.moved(by), *width, *size, *role)
    };
    (drawn, symbol.texts.iter().map(text).collect())
}

/// What each position joins: from the first lug of each group, a pole's common one, to every other.
fn contacts(assembly: &Assembly, stand: &Stand) -> Vec<Contact> {
    let part = &assembly.parts[stand.part];
    let AssembledKind::Switch { switch, .. } = &part.kind else { return Vec::new() };
    let by = stand.corner.point();
    let mut contacts = Vec::new();
    for (number, position) in (1..).zip(&switch.positions) {
        for group in &position.joined {
            let pin = |name: &String| {
                let lug = part.lugs.iter().position(|known| known == name)?;
                stand.lugs.iter().position(|&own| own == lug)
            };
            let mut pins: Vec<usize> = group.iter().filter_map(pin).collect();
            pins.sort_unstable();
            for &other in pins.iter().skip(1) {
                let path = [pins[0], other].map(|pin| symbol_contact(stand, pin).moved(by)).to_vec();
                contacts.push(Contact { position: number, lugs: vec![pins[0], other], path });
            }
        }
    }
    contacts
}

fn symbol_contact(stand: &Stand, pin: usize) -> Point {
    stand.symbol.contacts[pin]
}
