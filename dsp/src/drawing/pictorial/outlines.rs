//! What each part looks like from its lug side.

use super::super::canvas::{Cell, PITCH};
use super::super::geometry::{Contact, DrawnKind, DrawnPart, Lug, Point, Rect, Shape, Text, TextRole};
use super::super::harness::CASE;
use super::super::parts::{line, rectangle, rounded};
use super::super::text::{first_words, fitted};
use super::blocks::Block;
use crate::document::{AssembledKind, AssembledPart, Assembly, Switch};
use crate::units::{self, Quantity};

/// Half the width of a lug, in millimetres.
const HALF_LUG: f64 = 0.9;
/// Half the width of the shaft between a switch and its pot, in millimetres.
const HALF_SHAFT: f64 = 1.2;

/// A part in its place, and the texts on it. All texts lie within its body.
pub(super) fn draw(assembly: &Assembly, part: &AssembledPart, block: &Block, corner: Cell) -> (DrawnPart, Vec<Text>) {
    let at = |cell: Cell| corner.moved(cell.x, cell.y).point();
    let body = |&(first, last): &(Cell, Cell)| {
        let (first, last) = (at(first), at(last));
        Rect { left: first.x, top: first.y, right: last.x, bottom: last.y }
    };
    let mut drawn = DrawnPart {
        name: part.name.clone(),
        kind: kind(part),
        bodies: block.bodies.iter().map(body).collect(),
        shapes: Vec::new(),
        lugs: lugs(assembly, part, block, corner),
        contacts: Vec::new(),
    };
    let mut texts = Vec::new();
    match &part.kind {
        AssembledKind::Pickup(_) => pickup(&mut drawn, &mut texts),
        AssembledKind::Pot { pot, .. } => {
            let mut value = units::write(pot.resistance, Quantity::Resistance);
            value += if pot.no_load { ", no-load" } else { "" };
            can(&mut drawn, &mut texts, &value);
        }
        AssembledKind::Capacitor { capacitance, .. } => {
            small(&mut drawn, &mut texts, &units::write(*capacitance, Quantity::Capacitance), 2.4);
        }
        AssembledKind::Resistor { resistance, .. } => {
            small(&mut drawn, &mut texts, &units::write(*resistance, Quantity::Resistance), 0.0);
        }
        AssembledKind::Jack => jack(&mut drawn, &mut texts),
        AssembledKind::Switch { switch, .. } => {
            wafer_switch(&mut drawn, &mut texts, part, switch);
        }
    }
    (drawn, texts)
}

pub(in super::super) fn kind(part: &AssembledPart) -> DrawnKind {
    match part.kind {
        AssembledKind::Pickup(_) => DrawnKind::Pickup,
        AssembledKind::Pot { .. } => DrawnKind::Pot,
        AssembledKind::Capacitor { .. } => DrawnKind::Capacitor,
        AssembledKind::Resistor { .. } => DrawnKind::Resistor,
        AssembledKind::Switch { index: None, .. } => DrawnKind::Selector,
        AssembledKind::Switch { index: Some(index), .. } => DrawnKind::Switch(index),
        AssembledKind::Jack => DrawnKind::Jack,
    }
}

/// The part's own lugs, then a pot's case.
fn lugs(assembly: &Assembly, part: &AssembledPart, block: &Block, corner: Cell) -> Vec<Lug> {
    let shared = |joint: usize| {
        let on_it = assembly.parts.iter().flat_map(|part| &part.joints).filter(|&&other| other == joint);
        on_it.count() > 1
    };
    let names = part.lugs.iter().map(String::as_str).chain([CASE, CASE]);
    let joints = part.joints.iter().copied().chain([Assembly::GROUND; 2]);
    let lug = |((name, joint), cell): ((&str, usize), &Cell)| Lug {
        name: format!("{}.{name}", part.name),
        at: corner.moved(cell.x, cell.y).point(),
        joint,
        soldered: shared(joint),
    };
    names.zip(joints).zip(&block.lugs).map(lug).collect()
}

/// A lug's strip of metal from the body's edge to beyond its middle.
fn stem(lug: Point, towards: Point) -> Shape {
    let (dx, dy) = (lug.x - towards.x, lug.y - towards.y);
    let area = if dx.abs() > dy.abs() {
        Rect {
            left: lug.x.min(towards.x) - if dx < 0.0 { HALF_LUG } else { 0.0 },
            right: lug.x.max(towards.x) + if dx > 0.0 { HALF_LUG } else { 0.0 },
            top: lug.y - HALF_LUG,
            bottom: lug.y + HALF_LUG,
        }
    } else {
        Rect {
            left: lug.x - HALF_LUG,
            right: lug.x + HALF_LUG,
            top: lug.y.min(towards.y) - if dy < 0.0 { HALF_LUG } else { 0.0 },
            bottom: lug.y.max(towards.y) + if dy > 0.0 { HALF_LUG } else { 0.0 },
        }
    };
    rectangle(area)
}

fn short(name: &str) -> &str {
    name.rsplit('.').next().unwrap_or(name)
}

fn pickup(drawn: &mut DrawnPart, texts: &mut Vec<Text>) {
    let body = drawn.bodies[0];
    drawn.shapes.push(rounded(body, 5.0));
    for lug in &drawn.lugs {
        drawn.shapes.push(stem(lug.at, Point::new(lug.at.x, body.bottom)));
        texts.push(fitted(short(&lug.name), Point::new(lug.at.x, body.bottom - 2.0), 12.0, 2.4, TextRole::Lug));
    }
    let middle = Point::new(body.middle().x, body.top + 4.4);
    texts.push(fitted(&drawn.name, middle, body.right - body.left - 8.0, 3.6, TextRole::Name));
}

/// A pot from behind: its can, its lugs below, its case's rim to solder ground to.
fn can(drawn: &mut DrawnPart, texts: &mut Vec<Text>, value: &str) {
    let body = drawn.bodies[0];
    let (middle, radius) = (body.middle(), (body.right - body.left) / 2.0);
    for lug in &drawn.lugs[..3] {
        drawn.shapes.push(stem(lug.at, Point::new(lug.at.x, middle.y + radius * 0.7)));
    }
    for lug in &drawn.lugs[3..] {
        drawn.shapes.push(stem(lug.at, Point::new(middle.x + (lug.at.x - middle.x) * 0.85, lug.at.y)));
    }
    drawn.shapes.push(Shape::Disc { middle, radius });
    for lug in &drawn.lugs[..3] {
        let y = if lug.at.x == middle.x { body.bottom - 2.0 } else { body.bottom - 4.2 };
        texts.push(fitted(short(&lug.name), Point::new(lug.at.x, y), 4.0, 2.4, TextRole::Lug));
    }
    texts.push(fitted(&drawn.name, Point::new(middle.x, middle.y - 2.6), 21.0, 3.3, TextRole::Name));
    texts.push(fitted(value, Point::new(middle.x, middle.y + 1.6), 21.0, 2.8, TextRole::Value));
}

/// A part with two leads.
fn small(drawn: &mut DrawnPart, texts: &mut Vec<Text>, value: &str, radius: f64) {
    let body = drawn.bodies[0];
    for lug in &drawn.lugs {
        let edge = if lug.at.x < body.left { body.left } else { body.right };
        drawn.shapes.push(line(lug.at, Point::new(edge, lug.at.y)));
    }
    drawn.shapes.push(if radius > 0.0 { rounded(body, radius) } else { rectangle(body) });
    let (middle, width) = (body.middle(), body.right - body.left - 1.6);
    texts.push(fitted(&drawn.name, Point::new(middle.x, middle.y - 2.1), width, 3.0, TextRole::Name));
    texts.push(fitted(value, Point::new(middle.x, middle.y + 2.2), width, 2.8, TextRole::Value));
}

fn jack(drawn: &mut DrawnPart, texts: &mut Vec<Text>) {
    let body = drawn.bodies[0];
    for lug in &drawn.lugs {
        drawn.shapes.push(stem(lug.at, Point::new(body.left + 3.0, lug.at.y)));
    }
    let (middle, radius) = (body.middle(), (body.right - body.left) / 2.0);
    drawn.shapes.push(rounded(body, 2.0));
    let hole = Point::new(middle.x + 4.4, middle.y + 3.4);
    drawn.shapes.push(Shape::Disc { middle: hole, radius: radius * 0.32 });
    for lug in &drawn.lugs {
        let place = Point::new(body.left + 5.0, lug.at.y);
        texts.push(fitted(short(&lug.name), place, 8.6, 2.4, TextRole::Lug));
    }
    texts.push(fitted(&drawn.name, Point::new(middle.x + 4.0, body.top + 5.0), 10.0, 3.3, TextRole::Name));
}

/// A switch with its lugs in rows, two rows to a wafer, and what each position joins.
fn wafer_switch(drawn: &mut DrawnPart, texts: &mut Vec<Text>, part: &AssembledPart, switch: &Switch) {
    let wafers = drawn.bodies.clone();
    let wafers = &wafers[..];
    for pair in wafers.windows(2) {
        let x = pair[0].middle().x;
        drawn.shapes.push(Shape::Line(vec![Point::new(x, pair[0].bottom), Point::new(x, pair[1].top)]));
    }
    for wafer in wafers {
        drawn.shapes.push(rounded(*wafer, 1.0));
    }
    for lug in &drawn.lugs {
        let near = |wafer: &&Rect| ((lug.at.y - wafer.middle().y).abs() * 1e3) as i64;
        let Some(wafer) = wafers.iter().min_by_key(near) else { continue };
        let above = lug.at.y < wafer.top;
        let (edge, label) = if above { (wafer.top, wafer.top + 1.9) } else { (wafer.bottom, wafer.bottom - 1.9) };
        drawn.shapes.push(stem(lug.at, Point::new(lug.at.x, edge)));
        let mut text = fitted(short(&lug.name), Point::new(lug.at.x, label), 5.0, 2.4, TextRole::Lug);
        let beside = (text.bounds.right - text.bounds.left) / 2.0 + 0.8;
        text.bounds = text.bounds.moved(Point::new(beside, 0.0));
        texts.push(text);
    }
    let width = wafers[0].right - wafers[0].left - 2.0;
    let middle = wafers[0].middle();
    texts.push(fitted(&drawn.name, Point::new(middle.x, middle.y - 1.3), width, 3.0, TextRole::Name));
    texts.extend(first_words(&switch.title, Point::new(middle.x, middle.y + 2.0), width, 2.3));
    for (number, position) in (1..).zip(&switch.positions) {
        for group in &position.joined {
            let lug = |name: &String| part.lugs.iter().position(|known| known == name);
            let mut lugs: Vec<usize> = group.iter().filter_map(lug).collect();
            lugs.sort_by(|&a, &b| drawn.lugs[a].at.x.total_cmp(&drawn.lugs[b].at.x));
            let path = bar(drawn, wafers, &lugs);
            drawn.contacts.push(Contact { position: number, lugs, path });
        }
    }
}

/// The shaft from a switch to the pot beside it that carries it, of which the upper left corner and the width are given. Switches
/// have no lugs on their sides.
pub(super) fn shaft(drawn: &mut DrawnPart, pot: Cell, width: i32) {
    let (wafer, from, to) = (drawn.bodies[0], pot.point(), pot.moved(width, 0).point());
    // On a node, so that no wire runs along it either.
    let y = (wafer.middle().y / PITCH).floor() * PITCH;
    let (left, right) = if wafer.left > from.x { (to.x, wafer.left) } else { (wafer.right, from.x) };
    let shaft = Rect { left, right, top: y - HALF_SHAFT, bottom: y + HALF_SHAFT };
    // The can is round and begins a little farther in.
    let seen = if left == to.x {
        Rect { left: left - HALF_SHAFT, ..shaft }
    } else {
        Rect { right: right + HALF_SHAFT, ..shaft }
    };
    drawn.shapes.push(rectangle(seen));
    drawn.bodies.push(shaft);
}

/// How a contact is drawn: from each lug into the wafer and along it.
fn bar(drawn: &DrawnPart, wafers: &[Rect], lugs: &[usize]) -> Vec<Point> {
    const DEPTH: f64 = 4.4;
    let foot = |lug: usize| {
        let at = drawn.lugs[lug].at;
        let near = |wafer: &&Rect| ((at.y - wafer.middle().y).abs() * 1e3) as i64;
        let wafer = wafers.iter().min_by_key(near).expect("a switch has a wafer");
        Point::new(at.x, if at.y < wafer.top { wafer.top + DEPTH } else { wafer.bottom - DEPTH })
    };
    lugs.iter().flat_map(|&lug| [foot(lug), drawn.lugs[lug].at, foot(lug)]).skip(1).collect::<Vec<_>>()
        [..(3 * lugs.len()).saturating_sub(2)]
        .to_vec()
}

/// A node of the grid and the millimetres on it agree.
const _: () = assert!(PITCH > 2.0 * HALF_LUG);
