//! Numbers on the wires, and the legend.

use std::collections::BTreeSet;

use super::geometry::{Drawing, DrawnPart, LegendEntry, Point, Rect, Text, TextRole, Wire};
use super::text::{fitted, measure};
use crate::document::Assembly;

/// Size of a wire's number, in millimetres.
const NUMBER: f64 = 2.3;
/// Half the thickness of the thickest wire, in millimetres.
const HALF_WIRE: f64 = 0.45;
/// Half the width of a lug and of what is soldered to it, in millimetres.
const HALF_LUG: f64 = 1.0;

/// One number for every wire, on the wire, where no other wire, lug, text or part is in its way.
pub(super) fn numbers(parts: &[DrawnPart], wires: &[Wire], texts: &[Text]) -> Vec<Text> {
    let mut placed: Vec<Text> = Vec::new();
    for (index, wire) in wires.iter().enumerate() {
        let number = (index + 1).to_string();
        let (width, height) = (measure(&number) * NUMBER + 0.2, NUMBER * 1.05);
        let is_free = |middle: &Point| {
            let area = Rect::around(*middle, width, height);
            let bodies = parts.iter().flat_map(|part| &part.bodies).any(|body| body.overlaps(&area));
            let lugs = parts.iter().flat_map(|part| &part.lugs);
            let lugs =
                lugs.map(|lug| Rect::around(lug.at, 2.0 * HALF_LUG, 2.0 * HALF_LUG)).any(|lug| lug.overlaps(&area));
            let words = texts.iter().chain(&placed).any(|text| text.bounds.overlaps(&area));
            let others = wires.iter().enumerate().filter(|&(other, _)| other != index);
            let crossed = others.flat_map(|(_, other)| other.path.windows(2));
            let crossed = crossed.into_iter().any(|pair| area.grown(HALF_WIRE).is_entered(pair[0], pair[1]));
            !bodies && !lugs && !words && !crossed
        };
        if let Some(middle) = places(wire).into_iter().find(is_free) {
            let mut text = fitted(&number, middle, f64::INFINITY, NUMBER, TextRole::Number);
            (text.bounds, text.joint) = (Rect::around(middle, width, height), Some(wire.joint));
            placed.push(text);
        }
    }
    placed
}

/// Places along a wire, the middles of its longest stretches first, then outward from there.
fn places(wire: &Wire) -> Vec<Point> {
    const STEP: f64 = 0.625;
    let length = |pair: &[Point]| (pair[1].x - pair[0].x).abs() + (pair[1].y - pair[0].y).abs();
    let mut stretches: Vec<&[Point]> = wire.path.windows(2).collect();
    stretches.sort_by(|a, b| length(b).total_cmp(&length(a)));
    let along = |pair: &[Point], share: f64| {
        Point::new(pair[0].x + share * (pair[1].x - pair[0].x), pair[0].y + share * (pair[1].y - pair[0].y))
    };
    let mut places = Vec::new();
    for pair in stretches {
        let steps = (length(pair) / 2.0 / STEP).floor() as u32;
        for step in 0..=steps {
            let off = f64::from(step) * STEP / length(pair).max(STEP);
            places.push(along(pair, 0.5 - off));
            places.push(along(pair, 0.5 + off));
        }
    }
    places
}

/// Cuts the page to what is on it, and a margin.
pub(super) fn crop(drawing: &mut Drawing) {
    const MARGIN: f64 = 5.0;
    let mut corners: Vec<Point> = drawing.wires.iter().flat_map(|wire| wire.path.iter().copied()).collect();
    corners.extend(drawing.parts.iter().flat_map(|part| part.lugs.iter().map(|lug| lug.at)));
    let bodies = drawing.parts.iter().flat_map(|part| part.bodies.iter().copied());
    let areas: Vec<Rect> = bodies.chain(drawing.texts.iter().map(|text| text.bounds)).collect();
    corners
        .extend(areas.iter().flat_map(|area| [Point::new(area.left, area.top), Point::new(area.right, area.bottom)]));
    corners.extend(drawing.earths.iter().flat_map(|&at| earth(at).concat()));
    let least = |of: fn(&Point) -> f64| corners.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Point) -> f64| corners.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    if corners.is_empty() {
        return;
    }
    let by = Point::new(MARGIN - least(|p| p.x), MARGIN - least(|p| p.y));
    drawing.size = Point::new(most(|p| p.x) + by.x + MARGIN, most(|p| p.y) + by.y + MARGIN);
    shift(drawing, by);
}

/// The three lines of an earth symbol that hangs from a place (IEC 60617-02-15-01).
pub fn earth(at: Point) -> Vec<Vec<Point>> {
    let bar = |half: f64, down: f64| vec![Point::new(at.x - half, at.y + down), Point::new(at.x + half, at.y + down)];
    vec![bar(1.9, 0.0), bar(1.2, 0.9), bar(0.5, 1.8)]
}

fn shift(drawing: &mut Drawing, by: Point) {
    let move_all = |points: &mut Vec<Point>| points.iter_mut().for_each(|point| *point = point.moved(by));
    for part in &mut drawing.parts {
        part.bodies.iter_mut().for_each(|body| *body = body.moved(by));
        part.lugs.iter_mut().for_each(|lug| lug.at = lug.at.moved(by));
        part.contacts.iter_mut().for_each(|contact| move_all(&mut contact.path));
        part.shapes.iter_mut().for_each(|shape| *shape = shape.moved(by));
    }
    for wire in &mut drawing.wires {
        move_all(&mut wire.path);
        move_all(&mut wire.crossings);
    }
    drawing.junctions.iter_mut().for_each(|(point, _)| *point = point.moved(by));
    move_all(&mut drawing.earths);
    drawing.texts.iter_mut().for_each(|text| text.bounds = text.bounds.moved(by));
}

/// Which colour means which net, in columns under the drawing.
pub(super) fn add_legend(drawing: &mut Drawing, assembly: &Assembly) {
    const COLUMN: f64 = 42.0;
    const SWATCH: f64 = 9.0;
    const ROW: f64 = 5.0;
    let used: BTreeSet<usize> = drawing.wires.iter().map(|wire| wire.joint).collect();
    let margin = 5.0;
    let columns = ((drawing.size.x - 2.0 * margin) / COLUMN).floor().max(1.0);
    let top = drawing.size.y + 2.0;
    for (place, &joint) in used.iter().enumerate() {
        let (column, row) = (place as f64 % columns, (place as f64 / columns).floor());
        let (x, y) = (margin + column * COLUMN, top + row * ROW);
        let name = assembly.joints.get(joint).cloned().unwrap_or_default();
        let width = COLUMN - SWATCH - 4.0;
        let mut text = fitted(&name, Point::default(), width, 3.0, TextRole::Net);
        let half = (text.bounds.right - text.bounds.left) / 2.0;
        text.bounds = text.bounds.moved(Point::new(x + SWATCH + 2.0 + half, y));
        text.joint = Some(joint);
        drawing.texts.push(text);
        let swatch = [Point::new(x, y), Point::new(x + SWATCH, y)];
        drawing.legend.push(LegendEntry { joint, name, swatch });
    }
    let rows = (used.len() as f64 / columns).ceil();
    drawing.size.y = top + rows * ROW + margin;
    let widest = drawing.texts.iter().map(|text| text.bounds.right + margin).fold(drawing.size.x, f64::max);
    drawing.size.x = widest;
}
