//! A drawing as plain geometry, in millimetres; x to the right, y down.

use super::harness::Connection;
pub use super::shape::{Point, Rect, Shape};

/// A whole drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Whether it is a schematic or the pictorial diagram.
    pub view: View,
    /// What it shows, in a sentence for whoever cannot see it.
    pub title: String,
    /// Width and height of the page, in millimetres; everything lies between (0, 0) and it.
    pub size: Point,
    /// Parts, each with its outline and lugs. In a schematic a switch has one for every pole.
    pub parts: Vec<DrawnPart>,
    /// Wires, in soldering order: that of the wire list.
    pub wires: Vec<Wire>,
    /// Places where wires of one net meet.
    pub junctions: Vec<(Point, usize)>,
    /// Where earth symbols hang from, each at the end of a wire of ground. Only a schematic has them.
    pub earths: Vec<Point>,
    /// Every text.
    pub texts: Vec<Text>,
    /// The nets that have a wire: which colour means what.
    pub legend: Vec<LegendEntry>,
}

/// Which of the two drawings of a wiring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The parts from their lug side.
    Pictorial,
    /// Symbols.
    Schematic,
}

/// One part.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPart {
    /// The part's name in the wiring.
    pub name: String,
    /// What it is.
    pub kind: DrawnKind,
    /// What no wire crosses and no other part overlaps: one rectangle, or one for every wafer of a switch.
    pub bodies: Vec<Rect>,
    /// Its outline and whatever else is drawn of it.
    pub shapes: Vec<Shape>,
    /// Its lugs.
    pub lugs: Vec<Lug>,
    /// What it joins, by position; for switches.
    pub contacts: Vec<Contact>,
}

/// What a drawn part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawnKind {
    /// A pickup.
    Pickup,
    /// The selector.
    Selector,
    /// The switch of that index in the controls.
    Switch(usize),
    /// A pot.
    Pot,
    /// A capacitor.
    Capacitor,
    /// A fixed resistor.
    Resistor,
    /// The output jack.
    Jack,
}

/// One lug of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Lug {
    /// Its whole name: `volume.3`, `bridge.hot`; `volume.case` is the pot's case.
    pub name: String,
    /// Its middle.
    pub at: Point,
    /// The joint it sits on: an index into `Assembly::joints`.
    pub joint: usize,
    /// Whether anything is soldered to it.
    pub soldered: bool,
}

/// Lugs that a switch joins in one position.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// The position, from 1.
    pub position: u8,
    /// Indices of the joined lugs in the part's `lugs`.
    pub lugs: Vec<usize>,
    /// How it is drawn, from lug to lug.
    pub path: Vec<Point>,
}

/// One of a drawing's lugs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LugPlace {
    /// Index among the drawing's parts.
    pub part: usize,
    /// Index among the part's lugs.
    pub lug: usize,
}

/// A wire: in the pictorial diagram from lug to lug, in the schematic between lugs, junctions and earth symbols.
#[derive(Debug, Clone, PartialEq)]
pub struct Wire {
    /// The joint it belongs to.
    pub joint: usize,
    /// The lug where it begins; none where it begins at a junction of its net. Always a lug in the pictorial diagram.
    pub from: Option<LugPlace>,
    /// The lug where it ends; none where it ends at a junction of its net or at an earth symbol.
    pub to: Option<LugPlace>,
    /// Its corners, from its first end to its last; every stretch is upright or level.
    pub path: Vec<Point>,
    /// Where it goes over another wire, to be drawn as a gap in the other one.
    pub crossings: Vec<Point>,
}

/// What a text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextRole {
    /// Name of a part.
    Name,
    /// Value of a part, or another lesser word about it.
    Value,
    /// Name of a lug.
    Lug,
    /// Number of a wire in the wire list, from 1, which is the wire's place in `Drawing::wires`.
    Number,
    /// Name of a net in the legend.
    Net,
}

/// A line of text, centred in its box from side to side; names of the legend begin at its left edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// The text.
    pub text: String,
    /// The space it may fill, in whatever ordinary sans-serif face.
    pub bounds: Rect,
    /// Height of the letters' body, in millimetres (the font size).
    pub size: f64,
    /// What it is.
    pub role: TextRole,
    /// The net it speaks of, which gives it its colour.
    pub joint: Option<usize>,
}

/// One net of the legend.
#[derive(Debug, Clone, PartialEq)]
pub struct LegendEntry {
    /// The joint.
    pub joint: usize,
    /// Its name.
    pub name: String,
    /// A piece of wire that shows its colour.
    pub swatch: [Point; 2],
}

impl Wire {
    /// The short stretches of it, each of two points, with which it goes over other wires.
    pub fn bridges(&self) -> impl Iterator<Item = [Point; 2]> + '_ {
        const HALF: f64 = 0.9;
        let on = |pair: &[Point], at: Point| {
            let between = |a: f64, b: f64, at: f64| a.min(b) <= at && at <= a.max(b);
            let level = pair[0].y == pair[1].y && pair[0].y == at.y && between(pair[0].x, pair[1].x, at.x);
            let upright = pair[0].x == pair[1].x && pair[0].x == at.x && between(pair[0].y, pair[1].y, at.y);
            level || upright
        };
        self.crossings.iter().filter_map(move |&at| {
            let pair = self.path.windows(2).find(|pair| on(pair, at))?;
            Some(match pair[0].y == pair[1].y {
                true => [Point::new(at.x - HALF, at.y), Point::new(at.x + HALF, at.y)],
                false => [Point::new(at.x, at.y - HALF), Point::new(at.x, at.y + HALF)],
            })
        })
    }
}

impl Drawing {
    /// Whether it shows symbols.
    pub fn is_schematic(&self) -> bool {
        self.view == View::Schematic
    }

    /// Its wires as connections from lug to lug, in soldering order; those of a schematic end at junctions and are left
    /// out.
    pub fn connections(&self) -> Vec<Connection> {
        let connection = |wire: &Wire| Some(Connection { joint: wire.joint, from: wire.from?, to: wire.to? });
        self.wires.iter().filter_map(connection).collect()
    }

    /// One of its lugs.
    pub fn lug(&self, place: LugPlace) -> &Lug {
        &self.parts[place.part].lugs[place.lug]
    }

    /// Every lug with its place.
    pub fn lugs(&self) -> impl Iterator<Item = (LugPlace, &Lug)> {
        let of = |(part, drawn): (usize, &'_ DrawnPart)| {
            (0..drawn.lugs.len()).map(move |lug| LugPlace { part, lug }).collect::<Vec<_>>()
        };
        self.parts.iter().enumerate().flat_map(of).map(|place| (place, self.lug(place)))
    }

    /// The lug nearest to a place, if one lies within `reach` millimetres.
    pub fn lug_at(&self, place: Point, reach: f64) -> Option<LugPlace> {
        let distance = |lug: &Lug| (lug.at.x - place.x).hypot(lug.at.y - place.y);
        let near = self.lugs().filter(|(_, lug)| distance(lug) <= reach);
        near.min_by(|(_, a), (_, b)| distance(a).total_cmp(&distance(b))).map(|(found, _)| found)
    }
}
