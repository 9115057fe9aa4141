//! Symbols of IEC 60617, each on nodes of the grid, measured from its upper left corner.
//!
//! Coil: half circles in a row (S00583); resistor: a rectangle (S00555); potentiometer: the same with a moving contact
//! (S00561); capacitor: two plates (S00567); switch with several contacts (S00285); earth (S00200); mechanical link: dashes
//! (S00144). Numbers of the symbols: values from memory.

use super::super::canvas::{Cell, PITCH};
use super::super::geometry::{Point, Rect, Shape, TextRole};
use super::super::parts::{arc, line, rectangle};

/// A symbol before it has its place.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Symbol {
    /// Room it takes with its pins and texts; no other symbol comes into it.
    pub size: Cell,
    /// What no wire may enter.
    pub bodies: Vec<Rect>,
    /// What is drawn.
    pub shapes: Vec<Shape>,
    /// Where each lug's wire begins, and which way it leaves.
    pub pins: Vec<(Cell, Way)>,
    /// Where within the symbol each lug's contact is, for switches.
    pub contacts: Vec<Point>,
    /// Text, its middle, its width at most, its size, what it is.
    pub texts: Vec<(String, Point, f64, f64, TextRole)>,
}

/// Which way a wire leaves a pin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Left,
    Right,
    Up,
    Down,
}

const fn at(x: f64, y: f64) -> Point {
    Point::new(x * PITCH, y * PITCH)
}

fn area(left: f64, top: f64, right: f64, bottom: f64) -> Rect {
    let (from, to) = (at(left, top), at(right, bottom));
    Rect { left: from.x, top: from.y, right: to.x, bottom: to.y }
}

/// Columns to the left of an upright symbol's line for its name and value.
const WORDS: i32 = 9;

/// A coil: hot above, ground below.
pub(super) fn coil(name: &str, value: &str) -> Symbol {
    let x = f64::from(WORDS) + 1.0;
    let turns = (0..4).map(|turn| {
        let middle = at(x, 2.0 + f64::from(turn));
        Shape::Line(arc(middle, PITCH / 2.0, -90.0, 90.0))
    });
    let mut symbol = upright(name, value, 7, turns.collect(), (1.5, 5.5), 1.0);
    // The magnets' core beside the coil.
    symbol.shapes.push(line(at(x - 0.4, 1.5), at(x - 0.4, 5.5)));
    symbol
}

/// A resistor: lug 1 above.
pub(super) fn resistor(name: &str, value: &str) -> Symbol {
    let x = f64::from(WORDS) + 1.0;
    let body = rectangle(area(x - 0.5, 1.5, x + 0.5, 4.5));
    upright(name, value, 6, vec![body], (1.5, 4.5), 1.0)
}

/// A capacitor: lug 1 above.
pub(super) fn capacitor(name: &str, value: &str) -> Symbol {
    let x = f64::from(WORDS) + 1.0;
    let plates = [1.75, 2.25].map(|y| line(at(x - 1.0, y), at(x + 1.0, y)));
    upright(name, value, 4, plates.to_vec(), (1.75, 2.25), 1.0)
}

/// A pot: lug 1 below, lug 3 above, the wiper (2) to the right.
pub(super) fn pot(name: &str, value: &str) -> Symbol {
    let x = f64::from(WORDS) + 1.0;
    let body = rectangle(area(x - 0.5, 1.5, x + 0.5, 6.5));
    let mut symbol = upright(name, value, 8, vec![body], (1.5, 6.5), 2.0);
    symbol.pins = vec![
        (Cell::new(WORDS + 1, 8), Way::Down),
        (Cell::new(WORDS + 4, 4), Way::Right),
        (Cell::new(WORDS + 1, 0), Way::Up),
    ];
    symbol.shapes.push(line(at(x + 1.1, 4.0), at(x + 3.0, 4.0)));
    symbol.shapes.push(Shape::Solid(vec![at(x + 0.5, 4.0), at(x + 1.4, 3.6), at(x + 1.4, 4.4)]));
    symbol.bodies[0].right = at(x + 2.0, 0.0).x;
    symbol.size.x = WORDS + 5;
    for (lug, y) in [("3", 1.6), ("2", 3.2), ("1", 6.4)] {
        symbol.texts.push((lug.into(), at(x + 1.3, y), 3.0, 2.2, TextRole::Lug));
    }
    symbol
}

/// The output jack: tip and sleeve to the left.
pub(super) fn jack(name: &str) -> Symbol {
    let mut symbol = Symbol { size: Cell::new(11, 7), ..Symbol::default() };
    symbol.bodies.push(area(1.0, 0.5, 10.0, 6.5));
    symbol.pins = vec![(Cell::new(0, 2), Way::Left), (Cell::new(0, 5), Way::Left)];
    // The socket's tip is a bent spring, its sleeve a tube.
    let tip = vec![at(0.0, 2.0), at(4.0, 2.0), at(4.7, 2.8), at(5.4, 2.0)];
    symbol.shapes.push(Shape::Line(tip));
    symbol.shapes.push(line(at(0.0, 5.0), at(5.6, 5.0)));
    symbol.shapes.push(rectangle(area(5.6, 3.4, 6.2, 5.6)));
    symbol.texts.push((name.into(), at(7.8, 1.4), 11.0, 3.2, TextRole::Name));
    symbol.texts.push(("tip".into(), at(2.3, 1.3), 7.0, 2.2, TextRole::Lug));
    symbol.texts.push(("sleeve".into(), at(2.7, 4.3), 9.0, 2.2, TextRole::Lug));
    symbol
}

/// Where a link from above reaches a pot: from its symbol's corner to its track's left side, above its words.
pub(super) const LINK_END: Point = at(WORDS as f64 + 0.5, 1.9);

/// One pole of a switch: `throws` in a column on one side, its common lugs on the other; mirrored, the throws are on the
/// right. Lugs: first the commons, then the throws, as they are given. Where it is linked to something, its name leaves room for
/// the link down its middle.
pub(super) fn pole(name: &str, commons: &[String], throws: &[String], mirrored: bool, linked: bool) -> Symbol {
    const STEP: i32 = 3;
    const WIDTH: i32 = 12;
    let count = |names: &[String]| i32::try_from(names.len()).unwrap_or(1).max(1);
    let height = STEP * (count(throws).max(count(commons)) - 1) + 2;
    let mut symbol = Symbol { size: Cell::new(WIDTH + 1, height + 4), ..Symbol::default() };
    symbol.bodies.push(area(1.0, 0.0, f64::from(WIDTH) - 1.0, f64::from(height) + 2.5));
    let (middle, width) = if linked { (8.7, 11.0) } else { (f64::from(WIDTH) / 2.0, 24.0) };
    symbol.texts.push((name.into(), at(middle, 0.7), width, 3.0, TextRole::Name));
    let side = |left: bool| if left { (0, Way::Left, 3.4) } else { (WIDTH, Way::Right, f64::from(WIDTH) - 3.4) };
    let mut place = |names: &[String], left: bool| {
        let (x, way, contact) = side(left);
        let top = 3 + (height - 2 - STEP * (count(names) - 1)) / 2;
        for (index, lug) in (0..).zip(names) {
            let y = top + STEP * index;
            symbol.pins.push((Cell::new(x, y), way));
            let row = f64::from(y);
            symbol.contacts.push(at(contact, row));
            symbol.shapes.push(line(at(f64::from(x), row), at(contact, row)));
            symbol.shapes.push(Shape::Disc { middle: at(contact, row), radius: 0.8 });
            let label = if left { 2.1 } else { f64::from(WIDTH) - 2.1 };
            symbol.texts.push((lug.clone(), at(label, row - 0.7), 5.0, 2.2, TextRole::Lug));
        }
    };
    place(commons, mirrored);
    place(throws, !mirrored);
    symbol
}

/// A symbol with one lug above and one below, its words to the left.
fn upright(name: &str, value: &str, height: i32, mut shapes: Vec<Shape>, inner: (f64, f64), right: f64) -> Symbol {
    let x = f64::from(WORDS) + 1.0;
    let bottom = f64::from(height);
    shapes.push(line(at(x, 0.0), at(x, inner.0)));
    shapes.push(line(at(x, inner.1), at(x, bottom)));
    let middle = bottom / 2.0;
    let words = |text: &str, y: f64, size: f64, role: TextRole| {
        (text.to_string(), at(f64::from(WORDS) / 2.0, y), f64::from(WORDS) * PITCH - 2.0, size, role)
    };
    Symbol {
        size: Cell::new(WORDS + 2, height),
        bodies: vec![area(x - 1.0, 1.0, x + right, bottom - 1.0), area(0.5, middle - 1.5, x - 0.5, middle + 1.5)],
        shapes,
        pins: vec![(Cell::new(WORDS + 1, 0), Way::Up), (Cell::new(WORDS + 1, height), Way::Down)],
        contacts: Vec::new(),
        texts: vec![words(name, middle - 0.65, 3.0, TextRole::Name), words(value, middle + 0.75, 2.7, TextRole::Value)],
    }
}
