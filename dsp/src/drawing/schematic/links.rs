//! Dashed lines between what moves together: a pot and the switch on its shaft.

use super::super::canvas::PITCH;
use super::super::geometry::{DrawnPart, Point, Rect, Shape};
use super::columns::{Stand, carrier};
use super::symbols::LINK_END;
use crate::document::Assembly;

/// Half the width that no wire enters, in millimetres.
const HALF: f64 = 0.2 * PITCH;

/// Draws a link from every switch that a pot carries to that pot, and keeps wires off it. `parts` are the stands as they are drawn.
pub(super) fn link(assembly: &Assembly, stands: &[Stand], parts: &mut [DrawnPart]) {
    for pot in 0..stands.len() {
        let mut poles: Vec<usize> =
            (0..stands.len()).filter(|&pole| carrier(assembly, &stands[pole]) == Some(stands[pot].part)).collect();
        poles.sort_by_key(|&pole| stands[pole].corner.y);
        if let Some(path) = poles.first().and_then(|&top| path(&parts[top], &stands[pot])) {
            let blocked = blocked(&path, poles.iter().map(|&pole| &parts[pole]));
            parts[pot].shapes.push(Shape::Dashes(path));
            parts[pot].bodies.extend(blocked);
        }
    }
}

/// From the upper pole's moving contact in position 1 down to the pot's track.
fn path(top: &DrawnPart, pot: &Stand) -> Option<Vec<Point>> {
    let contact = top.contacts.iter().find(|contact| contact.position == 1).or_else(|| top.contacts.first())?;
    let ends = [*contact.path.first()?, *contact.path.last()?];
    let from = Point::new((ends[0].x + ends[1].x) / 2.0, (ends[0].y + ends[1].y) / 2.0);
    let to = pot.corner.point().moved(LINK_END);
    Some(vec![from, Point::new(from.x, to.y), to])
}

/// The stretches of a link that lie outside the poles it runs through.
fn blocked<'a>(path: &[Point], poles: impl Iterator<Item = &'a DrawnPart>) -> Vec<Rect> {
    let (corner, to) = (path[1], path[2]);
    let mut bodies: Vec<Rect> = poles.flat_map(|pole| pole.bodies.iter().copied()).collect();
    bodies.sort_by(|a, b| a.top.total_cmp(&b.top));
    let ends = bodies.iter().skip(1).map(|body| body.top).chain([corner.y + HALF]);
    let upright = bodies.iter().zip(ends).map(|(body, bottom)| Rect {
        left: corner.x - HALF,
        right: corner.x + HALF,
        top: body.bottom,
        bottom,
    });
    // The pot's own body begins a lane before its track.
    let level = Rect { left: corner.x - HALF, right: to.x - PITCH / 2.0, top: to.y - HALF, bottom: to.y + HALF };
    upright.chain([level]).collect()
}
