//! Sheets, captions, cells: what the drawing is made of.

use egui::{Align, Color32, CornerRadius, Label, Layout, Rect, Response, RichText, Stroke, StrokeKind, Ui, UiBuilder};

use super::palette::Palette;
use super::style::{GAP, RADIUS, SMALL};

/// A part of the screen as an `Ui` of its own, named for assistive tools; what is in it cannot push its surroundings.
pub fn region(ui: &mut Ui, rect: Rect, name: &str, contents: impl FnOnce(&mut Ui)) {
    let builder = UiBuilder::new().max_rect(rect).layout(Layout::top_down(Align::Min));
    let builder = if name.is_empty() { builder } else { builder.id_salt(name).accessibility_label(name) };
    contents(&mut ui.new_child(builder));
}

/// A sheet of paper with an edge; the rectangle inside its margin.
pub fn sheet(ui: &Ui, rect: Rect, palette: &Palette) -> Rect {
    ui.painter().rect(
        rect,
        CornerRadius::same(RADIUS),
        palette.sheet,
        Stroke::new(1.0, palette.rule),
        StrokeKind::Inside,
    );
    rect.shrink(GAP)
}

/// A line of text in a rectangle, elided when it does not fit (the whole text is then its tooltip).
pub fn cell(ui: &mut Ui, rect: Rect, text: RichText, align: Align) -> Response {
    let layout = match align {
        Align::Min => Layout::left_to_right(Align::Center),
        Align::Max => Layout::right_to_left(Align::Center),
        Align::Center => Layout::top_down(Align::Center),
    };
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    if align == Align::Center {
        let height = child.text_style_height(&egui::TextStyle::Body);
        child.add_space(((rect.height() - height) / 2.0).max(0.0));
    }
    child.add(Label::new(text).truncate().selectable(false))
}

/// Lesser text.
pub fn caption(text: impl Into<String>, palette: &Palette) -> RichText {
    RichText::new(text).size(SMALL).color(palette.faint)
}

/// A caption with a line to the right of it, as on a drawing: the head of a table.
pub fn heading(ui: &mut Ui, text: &str, palette: &Palette) {
    heading_beside(ui, text, palette, 0.0);
}

/// The same with so much room kept free at its right end; the room.
pub fn heading_beside(ui: &mut Ui, text: &str, palette: &Palette, room: f32) -> Rect {
    let (rect, _) = ui.allocate_exact_size(egui::vec2(ui.available_width(), 20.0), egui::Sense::hover());
    let (line, room) = split_left(rect, rect.width() - room, 0.0);
    let end = cell(ui, line, caption(text, palette), Align::Min).rect.right();
    if end + 6.0 < line.right() {
        ui.painter().hline((end + 6.0)..=line.right(), line.center().y, Stroke::new(1.0, palette.rule));
    }
    room
}

/// The edge that shows where the keyboard is.
pub fn focus_ring(ui: &Ui, rect: Rect, color: Color32) {
    ui.painter().rect_stroke(
        rect.expand(2.0),
        CornerRadius::same(RADIUS),
        Stroke::new(1.5, color),
        StrokeKind::Outside,
    );
}

/// Splits a rectangle off at the left; the second is what is left, a gap apart.
pub fn split_left(rect: Rect, width: f32, gap: f32) -> (Rect, Rect) {
    let x = (rect.left() + width).min(rect.right());
    let rest = (x + gap).min(rect.right());
    (
        Rect::from_min_max(rect.min, egui::pos2(x, rect.bottom())),
        Rect::from_min_max(egui::pos2(rest, rect.top()), rect.max),
    )
}

/// Splits a rectangle off at the top; the second is what is left, a gap apart.
pub fn split_top(rect: Rect, height: f32, gap: f32) -> (Rect, Rect) {
    let y = (rect.top() + height).min(rect.bottom());
    let rest = (y + gap).min(rect.bottom());
    (
        Rect::from_min_max(rect.min, egui::pos2(rect.right(), y)),
        Rect::from_min_max(egui::pos2(rect.left(), rest), rect.max),
    )
}
