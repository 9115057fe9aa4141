//! Nothing lies on anything else. The requirements are the client's; geometry is its own source.

use dryfit_dsp::drawing::{Drawing, Point, Rect, TextRole};

use super::{drawings, presets};

/// Half the room that a lug with its solder takes, in millimetres: 0.95 is what is painted.
const HALF_LUG: f64 = 0.95;

/// Everything that makes a drawing hard to read, in words.
pub fn faults(drawing: &Drawing) -> Vec<String> {
    let mut faults = Vec::new();
    outside(drawing, &mut faults);
    overlaps(drawing, &mut faults);
    wires_on_things(drawing, &mut faults);
    wires_on_wires(drawing, &mut faults);
    wires_on_earths(drawing, &mut faults);
    faults
}

#[test]
fn both_drawings_of_every_preset_are_legible() {
    for (name, assembly) in presets() {
        for drawing in drawings(&assembly) {
            let faults = faults(&drawing);
            assert!(faults.is_empty(), "{name}, {:?}: {faults:#?}", drawing.view);
        }
    }
}

/// The measure itself: what it must find, it finds.
#[test]
fn a_wire_over_a_part_a_lug_or_a_text_is_found() {
    let (_, assembly) = presets().swap_remove(0);
    let [mut drawing, _] = drawings(&assembly);
    let (body, lug) = (drawing.parts[0].bodies[0], drawing.parts[1].lugs[0].at);
    let wire = drawing.wires.iter().position(|wire| wire.joint != drawing.parts[1].lugs[0].joint).unwrap();
    drawing.wires[wire].path =
        vec![Point::new(body.left - 1.0, body.middle().y), Point::new(body.right, body.middle().y)];
    assert!(faults(&drawing).iter().any(|fault| fault.contains("runs over the part")));
    drawing.wires[wire].path = vec![Point::new(lug.x - 2.0, lug.y), Point::new(lug.x + 2.0, lug.y)];
    assert!(faults(&drawing).iter().any(|fault| fault.contains("touches the lug")));
    drawing.texts[0].bounds = Rect { left: -5.0, ..drawing.texts[0].bounds };
    assert!(faults(&drawing).iter().any(|fault| fault.contains("outside")));
}

fn outside(drawing: &Drawing, faults: &mut Vec<String>) {
    let inside = |point: Point| (0.0..=drawing.size.x).contains(&point.x) && (0.0..=drawing.size.y).contains(&point.y);
    let corners = |area: &Rect| [Point::new(area.left, area.top), Point::new(area.right, area.bottom)];
    for text in drawing.texts.iter().filter(|text| !corners(&text.bounds).into_iter().all(inside)) {
        faults.push(format!("the text {} is outside the page", text.text));
    }
    for part in drawing.parts.iter().filter(|part| !part.bodies.iter().flat_map(corners).all(inside)) {
        faults.push(format!("the part {} is outside the page", part.name));
    }
    for wire in drawing.wires.iter().filter(|wire| !wire.path.iter().copied().all(inside)) {
        faults.push(format!("a wire of joint {} is outside the page", wire.joint));
    }
}

fn lug(at: Point) -> Rect {
    Rect::around(at, 2.0 * HALF_LUG, 2.0 * HALF_LUG)
}

fn overlaps(drawing: &Drawing, faults: &mut Vec<String>) {
    for (index, text) in drawing.texts.iter().enumerate() {
        for other in &drawing.texts[index + 1..] {
            if text.bounds.overlaps(&other.bounds) {
                faults.push(format!("the texts {} and {} overlap", text.text, other.text));
            }
        }
        for (_, found) in drawing.lugs().filter(|(_, found)| lug(found.at).overlaps(&text.bounds)) {
            faults.push(format!("the text {} is on the lug {}", text.text, found.name));
        }
        let on_part = |body: &Rect| text.role == TextRole::Number && body.overlaps(&text.bounds);
        if drawing.parts.iter().flat_map(|part| &part.bodies).any(on_part) {
            faults.push(format!("the number {} is on a part", text.text));
        }
    }
    for (index, part) in drawing.parts.iter().enumerate() {
        for other in &drawing.parts[index + 1..] {
            if part.bodies.iter().any(|body| other.bodies.iter().any(|found| body.overlaps(found))) {
                faults.push(format!("{} and {} overlap", part.name, other.name));
            }
        }
    }
    let lugs: Vec<_> = drawing.lugs().map(|(_, found)| found).collect();
    for (index, one) in lugs.iter().enumerate() {
        for other in lugs[index + 1..].iter().filter(|other| lug(one.at).overlaps(&lug(other.at))) {
            faults.push(format!("the lugs {} and {} overlap", one.name, other.name));
        }
    }
}

fn wires_on_things(drawing: &Drawing, faults: &mut Vec<String>) {
    for (number, wire) in drawing.wires.iter().enumerate() {
        let ends = [wire.path[0], wire.path[wire.path.len() - 1]];
        for pair in wire.path.windows(2) {
            if pair[0].x != pair[1].x && pair[0].y != pair[1].y {
                faults.push(format!("wire {} runs askew", number + 1));
            }
            for part in &drawing.parts {
                if part.bodies.iter().any(|body| body.is_entered(pair[0], pair[1])) {
                    faults.push(format!("wire {} runs over the part {}", number + 1, part.name));
                }
            }
            for (_, found) in drawing.lugs().filter(|(_, found)| !ends.contains(&found.at)) {
                if lug(found.at).is_entered(pair[0], pair[1]) {
                    faults.push(format!("wire {} touches the lug {}", number + 1, found.name));
                }
            }
            for text in drawing.texts.iter().filter(|text| text.bounds.is_entered(pair[0], pair[1])) {
                if text.role != TextRole::Number || text.text != (number + 1).to_string() {
                    faults.push(format!("wire {} runs over the text {}", number + 1, text.text));
                }
            }
        }
    }
}

/// Wires of different nets share no stretch, no corner and no end; they only cross at right angles, and then one of the
/// two says so.
fn wires_on_wires(drawing: &Drawing, faults: &mut Vec<String>) {
    for (index, one) in drawing.wires.iter().enumerate() {
        for (place, other) in drawing.wires.iter().enumerate().skip(index + 1) {
            for (a, b) in one.path.windows(2).flat_map(|a| other.path.windows(2).map(move |b| (a, b))) {
                let Some(at) = meeting(a, b) else { continue };
                let is_lug = drawing.lugs().any(|(_, lug)| lug.at == at);
                let is_junction = drawing.junctions.iter().any(|(found, joint)| *found == at && *joint == one.joint);
                let shared = one.joint == other.joint && (is_lug || is_junction);
                let is_corner = one.path.contains(&at) || other.path.contains(&at);
                let said = one.crossings.contains(&at) || other.crossings.contains(&at);
                if !shared && (is_corner || !said) {
                    faults.push(format!("wires {} and {} touch at {at:?}", index + 1, place + 1));
                }
            }
        }
    }
}

/// An earth symbol is 3.8 mm wide and 1.8 mm high; only its own wire comes near, and nothing passes right below.
fn wires_on_earths(drawing: &Drawing, faults: &mut Vec<String>) {
    for &earth in &drawing.earths {
        let area = Rect { left: earth.x - 1.9, top: earth.y - 0.5, right: earth.x + 1.9, bottom: earth.y + 2.3 };
        for (number, wire) in drawing.wires.iter().enumerate().filter(|(_, wire)| wire.path.last() != Some(&earth)) {
            if wire.path.windows(2).any(|pair| area.is_entered(pair[0], pair[1])) {
                faults.push(format!("wire {} runs over an earth symbol", number + 1));
            }
        }
        for text in drawing.texts.iter().filter(|text| text.bounds.overlaps(&area)) {
            faults.push(format!("the text {} is on an earth symbol", text.text));
        }
        for part in drawing.parts.iter().filter(|part| part.bodies.iter().any(|body| body.overlaps(&area))) {
            faults.push(format!("the part {} is on an earth symbol", part.name));
        }
    }
}

/// Where two stretches meet; somewhere on what they share where they run on each other.
fn meeting(a: &[Point], b: &[Point]) -> Option<Point> {
    let range = |p: f64, q: f64| (p.min(q), p.max(q));
    let common = |(a, b): (f64, f64), (c, d): (f64, f64)| (a.max(c) <= b.min(d)).then(|| a.max(c));
    let x = common(range(a[0].x, a[1].x), range(b[0].x, b[1].x))?;
    let y = common(range(a[0].y, a[1].y), range(b[0].y, b[1].y))?;
    Some(Point::new(x, y))
}
