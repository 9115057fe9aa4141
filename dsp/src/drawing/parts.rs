//! Shapes that several symbols share.

use super::geometry::{Point, Rect, Shape};

/// An arc as corners, from one angle to another in degrees (0 to the right, clockwise on the page).
pub(super) fn arc(middle: Point, radius: f64, from: f64, to: f64) -> Vec<Point> {
    const STEP_DEGREES: f64 = 15.0;
    let steps = ((to - from).abs() / STEP_DEGREES).ceil().max(1.0) as u32;
    let at = |i: u32| {
        let angle = (from + (to - from) * f64::from(i) / f64::from(steps)).to_radians();
        Point::new(middle.x + radius * angle.cos(), middle.y + radius * angle.sin())
    };
    (0..=steps).map(at).collect()
}

/// A rectangle with round corners.
pub(super) fn rounded(area: Rect, radius: f64) -> Shape {
    let Rect { left, top, right, bottom } = area;
    let (l, t, r, b) = (left + radius, top + radius, right - radius, bottom - radius);
    let corners = [((r, b), 0.0), ((l, b), 90.0), ((l, t), 180.0), ((r, t), 270.0)];
    let round = corners.into_iter().flat_map(|((x, y), from)| arc(Point::new(x, y), radius, from, from + 90.0));
    Shape::Area(round.collect())
}

/// A rectangle.
pub(super) fn rectangle(area: Rect) -> Shape {
    let Rect { left, top, right, bottom } = area;
    Shape::Area(vec![
        Point::new(left, top),
        Point::new(right, top),
        Point::new(right, bottom),
        Point::new(left, bottom),
    ])
}

/// A straight line.
pub(super) fn line(from: Point, to: Point) -> Shape {
    Shape::Line(vec![from, to])
}
