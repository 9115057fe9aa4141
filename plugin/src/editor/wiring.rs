//! A drawing of a wiring, painted from the geometry that the build sheet and the page are painted from.

use dryfit_dsp::drawing::{
    DARK, Drawing, DrawnKind, GAP, GLOW, Ink, LIGHT, LINK, Live, OUTLINE, Palette, Point, Rgb, Shape, Text, TextRole,
    WIRE, earth,
};
use egui::accesskit::Role;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Response, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::memory::Theme;
use super::model::Net;

/// Size of the parts' names where the drawing is small, in points.
const SMALL_NAME: f32 = 7.5;
/// Space above the legend, in millimetres.
const ABOVE_LEGEND: f64 = 4.0;
/// How near the pointer must come to a lug, in points.
const REACH: f32 = 9.0;

/// Where a drawing lies on the screen.
pub struct Canvas {
    rect: Rect,
    /// Points to a millimetre.
    scale: f32,
    palette: &'static Palette,
    /// Whether names of parts are its only texts.
    small: bool,
}

/// Tells assistive tools what a drawing is.
pub fn describe(response: &Response, name: &str, opens: bool) {
    let kind = if opens { Role::Button } else { Role::Image };
    response.widget_info(|| WidgetInfo::labeled(kind, true, name));
}

/// The colour of a joint's wires.
pub fn wire_color(joint: usize, theme: Theme) -> Color32 {
    color(palette_of(theme).ink(joint).colour)
}

fn palette_of(theme: Theme) -> &'static Palette {
    match theme {
        Theme::Light => &LIGHT,
        Theme::Dark => &DARK,
    }
}

impl Canvas {
    /// As large as fits into a rectangle, at its top, in the middle.
    pub fn fitted(rect: Rect, drawing: &Drawing, theme: Theme) -> Self {
        let size = vec2(drawing.size.x as f32, drawing.size.y as f32);
        let scale = (rect.width() / size.x).min(rect.height() / size.y);
        let corner = pos2(rect.center().x - 0.5 * scale * size.x, rect.top());
        Self { rect: Rect::from_min_size(corner, scale * size), scale, palette: palette_of(theme), small: false }
    }

    /// As wide as that, without a legend and with names of parts only, for which alone there is room.
    pub fn small(corner: Pos2, width: f32, drawing: &Drawing, theme: Theme) -> Self {
        let scale = width / drawing.size.x as f32;
        let legend = drawing.legend.iter().map(|entry| entry.swatch[0].y).reduce(f64::min);
        let height = legend.map_or(drawing.size.y, |top| top - ABOVE_LEGEND);
        let rect = Rect::from_min_size(corner, vec2(width, scale * height as f32));
        Self { rect, scale, palette: palette_of(theme), small: true }
    }

    /// What the drawing covers.
    pub fn rect(&self) -> Rect {
        self.rect
    }

    /// Paints it with what is live lit.
    pub fn paint(&self, painter: &Painter, drawing: &Drawing, live: &Live) {
        let painter = painter.with_clip_rect(painter.clip_rect().intersect(self.rect));
        let brush = Brush { canvas: self, painter };
        brush.painter.rect_filled(self.rect, 3.0, color(self.palette.paper));
        brush.lights(drawing, live);
        drawing.parts.iter().flat_map(|part| &part.shapes).for_each(|shape| brush.shape(shape));
        brush.contacts(drawing, live);
        brush.wires(drawing);
        if !drawing.is_schematic() {
            let soldered = drawing.lugs().filter(|(_, lug)| lug.soldered);
            soldered.for_each(|(_, lug)| brush.dot(lug.at, 0.95, self.palette.ink(lug.joint)));
        }
        if self.small {
            return drawing.texts.iter().filter(|text| text.role == TextRole::Name).for_each(|text| brush.name(text));
        }
        drawing.legend.iter().for_each(|entry| brush.wire(&entry.swatch, self.palette.ink(entry.joint)));
        drawing.texts.iter().for_each(|text| brush.text(text));
    }

    /// What is to be said of the lug under the pointer, if there is one: its net and all that is joined to it.
    pub fn told(&self, ui: &Ui, drawing: &Drawing, nets: &[Net]) -> Option<String> {
        let pointer = ui.ctx().pointer_hover_pos().filter(|at| self.rect.contains(*at))?;
        let place = (pointer - self.rect.min) / self.scale;
        let lug = drawing.lug_at(Point::new(place.x.into(), place.y.into()), f64::from(REACH / self.scale))?;
        let lug = drawing.lug(lug);
        Some(match nets.iter().find(|net| net.joint == lug.joint) {
            Some(net) => format!("{}: net {}, joined to {}", lug.name, net.name, net.lugs.join(", ")),
            None => format!("{}: nothing is soldered here", lug.name),
        })
    }

    fn at(&self, point: Point) -> Pos2 {
        self.rect.min + self.scale * vec2(point.x as f32, point.y as f32)
    }

    fn length(&self, millimetres: f64) -> f32 {
        self.scale * millimetres as f32
    }
}

struct Brush<'a> {
    canvas: &'a Canvas,
    painter: Painter,
}

impl Brush<'_> {
    fn points(&self, points: &[Point]) -> Vec<Pos2> {
        points.iter().map(|&point| self.canvas.at(point)).collect()
    }

    fn line(&self, points: &[Point], colour: Rgb, thickness: f64) {
        let stroke = Stroke::new(self.canvas.length(thickness), color(colour));
        self.painter.line(self.points(points), stroke);
    }

    fn wire(&self, points: &[Point], ink: Ink) {
        let dashes: Vec<f32> = ink.dashes().into_iter().map(|dash| self.canvas.length(dash)).collect();
        if dashes.is_empty() {
            return self.line(points, ink.colour, ink.thickness());
        }
        let (drawn, gaps): (Vec<_>, Vec<_>) = dashes.chunks(2).map(|pair| (pair[0], pair[1])).unzip();
        let stroke = Stroke::new(self.canvas.length(ink.thickness()), color(ink.colour));
        self.painter.extend(egui::Shape::dashed_line_with_offset(&self.points(points), stroke, &drawn, &gaps, 0.0));
    }

    fn lights(&self, drawing: &Drawing, live: &Live) {
        let lit = drawing.wires.iter().zip(live.wires(drawing)).filter(|(_, live)| *live);
        lit.for_each(|(wire, _)| self.line(&wire.path, self.canvas.palette.glow, GLOW));
    }

    fn shape(&self, shape: &Shape) {
        let palette = self.canvas.palette;
        let outline = Stroke::new(self.canvas.length(OUTLINE).max(1.0), color(palette.ink));
        match shape {
            Shape::Line(points) => {
                self.painter.line(self.points(points), outline);
            }
            Shape::Dashes(points) => {
                let [dash, gap] = LINK.map(|length| self.canvas.length(length));
                self.painter.extend(egui::Shape::dashed_line(&self.points(points), outline, dash, gap));
            }
            Shape::Area(points) => {
                let area = egui::Shape::convex_polygon(self.points(points), color(palette.body), outline);
                self.painter.add(area);
            }
            Shape::Solid(points) => {
                let area = egui::Shape::convex_polygon(self.points(points), color(palette.ink), Stroke::NONE);
                self.painter.add(area);
            }
            Shape::Disc { middle, radius } => {
                self.painter.circle(self.canvas.at(*middle), self.canvas.length(*radius), color(palette.body), outline);
            }
        }
    }

    fn contacts(&self, drawing: &Drawing, live: &Live) {
        let palette = self.canvas.palette;
        for part in drawing.parts.iter().filter(|part| matches!(part.kind, DrawnKind::Selector | DrawnKind::Switch(_)))
        {
            for contact in part.contacts.iter().filter(|contact| live.is_closed(part, contact)) {
                if live.carries(part, contact) {
                    self.line(&contact.path, palette.glow, GLOW);
                }
                self.line(&contact.path, palette.ink, WIRE);
            }
        }
    }

    fn wires(&self, drawing: &Drawing) {
        let palette = self.canvas.palette;
        for wire in &drawing.wires {
            wire.bridges().for_each(|stretch| self.line(&stretch, palette.paper, GAP));
            self.wire(&wire.path, palette.ink(wire.joint));
        }
        drawing.junctions.iter().for_each(|&(at, joint)| self.dot(at, 0.9, palette.ink(joint)));
        let bars = drawing.earths.iter().flat_map(|&at| earth(at));
        bars.for_each(|bar| self.line(&bar, palette.ground, WIRE));
    }

    fn dot(&self, at: Point, radius: f64, ink: Ink) {
        self.painter.circle_filled(self.canvas.at(at), self.canvas.length(radius), color(ink.colour));
    }

    /// A part's name, as large as it must be to be read.
    fn name(&self, text: &Text) {
        let font = FontId::proportional(self.canvas.length(text.size).max(SMALL_NAME));
        let at = self.canvas.at(text.bounds.middle());
        self.painter.text(at, Align2::CENTER_CENTER, &text.text, font, color(self.canvas.palette.ink));
    }

    fn text(&self, text: &Text) {
        let (palette, canvas) = (self.canvas.palette, self.canvas);
        let colour = match (text.role, text.joint) {
            (TextRole::Number, Some(joint)) => palette.ink(joint).colour,
            (TextRole::Value | TextRole::Lug, _) => palette.faint,
            _ => palette.ink,
        };
        let bounds = &text.bounds;
        let (from, to) = (Point::new(bounds.left, bounds.top), Point::new(bounds.right, bounds.bottom));
        let rect = Rect::from_min_max(canvas.at(from), canvas.at(to));
        if text.role == TextRole::Number {
            self.painter.rect(rect, 0.0, color(palette.paper), Stroke::NONE, StrokeKind::Inside);
        }
        // Legend names stand in a column, one under the other.
        let (at, align) = match text.role {
            TextRole::Net => (rect.left_center(), Align2::LEFT_CENTER),
            _ => (rect.center(), Align2::CENTER_CENTER),
        };
        let font = FontId::proportional(canvas.length(text.size));
        self.painter.text(at, align, &text.text, font, color(colour));
    }
}

fn color([red, green, blue]: Rgb) -> Color32 {
    Color32::from_rgb(red, green, blue)
}
