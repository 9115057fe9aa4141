//! A drawing as SVG text.

use quick_xml::Writer;
use quick_xml::events::{BytesEnd, BytesStart, BytesText, Event};

use super::geometry::{Drawing, DrawnKind, Point, Shape, TextRole};
use super::live::Live;
use super::palette::{GAP, GLOW, Ink, LIGHT, LINK, OUTLINE, Palette, Rgb, WIRE};
use super::tags::earth;

/// How a drawing is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style<'a> {
    /// Its colours.
    pub palette: &'a Palette,
    /// Number that tells the ids of several drawings on one page apart.
    pub id: &'a str,
}

impl Default for Style<'_> {
    /// On paper.
    fn default() -> Self {
        Self { palette: &LIGHT, id: "drawing" }
    }
}

/// The drawing as one SVG element with a title and a description; lit where `live` says that the signal runs. Without
/// it, a schematic shows its switches in position 1. No script, no style sheet, no reference to anything outside.
pub fn to_svg(drawing: &Drawing, style: &Style<'_>, live: Option<&Live>) -> String {
    let mut page = Page { writer: Writer::new(Vec::new()), palette: style.palette };
    let (width, height) = (number(drawing.size.x), number(drawing.size.y));
    let view = format!("0 0 {width} {height}");
    let title = format!("{}-title", style.id);
    let svg = [
        ("xmlns", "http://www.w3.org/2000/svg"),
        ("viewBox", &view),
        ("role", "img"),
        ("aria-labelledby", &title),
        ("font-family", "Liberation Sans, Arial, Helvetica, sans-serif"),
        ("stroke-linejoin", "round"),
        ("stroke-linecap", "round"),
        ("fill", "none"),
    ];
    page.within("svg", &svg, |page| {
        page.within("title", &[("id", &title)], |page| page.text(&drawing.title));
        let paper = hex(style.palette.paper);
        page.empty("rect", &[("width", &width), ("height", &height), ("fill", &paper)]);
        page.lights(drawing, live);
        page.parts(drawing);
        page.contacts(drawing, live);
        page.wires(drawing);
        page.lugs(drawing);
        page.legend(drawing);
        page.texts(drawing);
    });
    String::from_utf8(page.writer.into_inner()).expect("everything written was text")
}

struct Page<'a> {
    writer: Writer<Vec<u8>>,
    palette: &'a Palette,
}

impl Page<'_> {
    fn write(&mut self, event: Event<'_>) {
        self.writer.write_event(event).expect("memory takes every byte");
    }

    fn within(&mut self, name: &str, attributes: &[(&str, &str)], inside: impl FnOnce(&mut Self)) {
        self.write(Event::Start(element(name, attributes)));
        inside(self);
        self.write(Event::End(BytesEnd::new(name)));
    }

    fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.write(Event::Empty(element(name, attributes)));
    }

    fn text(&mut self, text: &str) {
        self.write(Event::Text(BytesText::new(text)));
    }

    fn line(&mut self, points: &[Point], colour: Rgb, thickness: f64, dashes: &str) {
        let (points, colour, thickness) = (list(points), hex(colour), number(thickness));
        let mut attributes = vec![("points", &*points), ("stroke", &*colour), ("stroke-width", &*thickness)];
        if !dashes.is_empty() {
            attributes.push(("stroke-dasharray", dashes));
        }
        self.empty("polyline", &attributes);
    }

    fn wire(&mut self, points: &[Point], ink: Ink) {
        let dashes = ink.dashes().into_iter().map(number).collect::<Vec<_>>().join(" ");
        self.line(points, ink.colour, ink.thickness(), &dashes);
    }

    fn lights(&mut self, drawing: &Drawing, live: Option<&Live>) {
        let Some(live) = live else { return };
        for (wire, _) in drawing.wires.iter().zip(live.wires(drawing)).filter(|(_, live)| *live) {
            self.line(&wire.path, self.palette.glow, GLOW, "");
        }
    }

    fn parts(&mut self, drawing: &Drawing) {
        let (ink, body, thin) = (hex(self.palette.ink), hex(self.palette.body), number(OUTLINE));
        let outline = [("stroke", &*ink), ("stroke-width", &*thin)];
        for shape in drawing.parts.iter().flat_map(|part| &part.shapes) {
            match shape {
                Shape::Line(points) => self.line(points, self.palette.ink, OUTLINE, ""),
                Shape::Dashes(points) => {
                    self.line(points, self.palette.ink, OUTLINE, &LINK.map(number).join(" "));
                }
                Shape::Area(points) => {
                    let points = list(points);
                    self.empty("polygon", &[&[("points", &*points), ("fill", &*body)][..], &outline].concat());
                }
                Shape::Solid(points) => {
                    let points = list(points);
                    self.empty("polygon", &[("points", &points), ("fill", &ink)]);
                }
                Shape::Disc { middle, radius } => {
                    let (x, y, r) = (number(middle.x), number(middle.y), number(*radius));
                    let circle = [("cx", &*x), ("cy", &*y), ("r", &*r), ("fill", &*body)];
                    self.empty("circle", &[&circle[..], &outline].concat());
                }
            }
        }
    }

    fn contacts(&mut self, drawing: &Drawing, live: Option<&Live>) {
        for part in &drawing.parts {
            let shown = matches!(part.kind, DrawnKind::Selector | DrawnKind::Switch(_));
            for contact in part.contacts.iter().filter(|_| shown) {
                match live {
                    Some(live) if live.is_closed(part, contact) => {
                        if live.carries(part, contact) {
                            self.line(&contact.path, self.palette.glow, GLOW, "");
                        }
                        self.line(&contact.path, self.palette.ink, WIRE, "");
                    }
                    None if drawing.is_schematic() && contact.position == 1 => {
                        self.line(&contact.path, self.palette.ink, WIRE, "");
                    }
                    _ => {}
                }
            }
        }
    }

    fn wires(&mut self, drawing: &Drawing) {
        // A wire that goes over another one leaves a gap in it: paper first, then the wire.
        for wire in &drawing.wires {
            for stretch in wire.bridges() {
                self.line(&stretch, self.palette.paper, GAP, "");
            }
            self.wire(&wire.path, self.palette.ink(wire.joint));
        }
        for &(at, joint) in &drawing.junctions {
            let (x, y, colour) = (number(at.x), number(at.y), hex(self.palette.ink(joint).colour));
            self.empty("circle", &[("cx", &x), ("cy", &y), ("r", "0.9"), ("fill", &colour)]);
        }
        for &at in &drawing.earths {
            earth(at).iter().for_each(|bar| self.line(bar, self.palette.ground, WIRE, ""));
        }
    }

    fn lugs(&mut self, drawing: &Drawing) {
        if drawing.is_schematic() {
            return;
        }
        let paper = hex(self.palette.paper);
        for (_, lug) in drawing.lugs().filter(|(_, lug)| lug.soldered) {
            let (x, y, colour) = (number(lug.at.x), number(lug.at.y), hex(self.palette.ink(lug.joint).colour));
            let dot = [("cx", &*x), ("cy", &*y), ("r", "0.95"), ("fill", &*colour), ("stroke", &*paper)];
            self.within("circle", &[&dot[..], &[("stroke-width", "0.25")]].concat(), |page| {
                page.within("title", &[], |page| page.text(&lug.name));
            });
        }
    }

    fn legend(&mut self, drawing: &Drawing) {
        for entry in &drawing.legend {
            self.wire(&entry.swatch, self.palette.ink(entry.joint));
        }
    }

    fn texts(&mut self, drawing: &Drawing) {
        for text in &drawing.texts {
            let colour = match (text.role, text.joint) {
                (TextRole::Number, Some(joint)) => self.palette.ink(joint).colour,
                (TextRole::Value | TextRole::Lug, _) => self.palette.faint,
                _ => self.palette.ink,
            };
            if text.role == TextRole::Number {
                let (x, y) = (number(text.bounds.left), number(text.bounds.top));
                let width = number(text.bounds.right - text.bounds.left);
                let height = number(text.bounds.bottom - text.bounds.top);
                let paper = hex(self.palette.paper);
                let label = [("x", &*x), ("y", &*y), ("width", &*width), ("height", &*height), ("fill", &*paper)];
                self.empty("rect", &label);
            }
            let middle = text.bounds.middle();
            // Legend names stand in a column, one under the other.
            let (from, anchor) = match text.role {
                TextRole::Net => (text.bounds.left, "start"),
                _ => (middle.x, "middle"),
            };
            // Capitals and digits stand some 0.72 of the size high; this centres them.
            let (x, y, size) = (number(from), number(middle.y + 0.36 * text.size), number(text.size));
            let colour = hex(colour);
            let mut attributes =
                vec![("x", &*x), ("y", &*y), ("font-size", &*size), ("text-anchor", anchor), ("fill", &*colour)];
            if text.role == TextRole::Name {
                attributes.push(("font-weight", "bold"));
            }
            self.within("text", &attributes, |page| page.text(&text.text));
        }
    }
}

fn element<'a>(name: &'a str, attributes: &[(&str, &str)]) -> BytesStart<'a> {
    BytesStart::new(name).with_attributes(attributes.iter().copied())
}

fn list(points: &[Point]) -> String {
    points.iter().map(|point| format!("{},{}", number(point.x), number(point.y))).collect::<Vec<_>>().join(" ")
}

/// Two decimals are a hundredth of a millimetre.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn hex([red, green, blue]: Rgb) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}
