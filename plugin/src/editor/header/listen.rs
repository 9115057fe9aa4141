//! Dry, A, B: one key each.

use egui::accesskit::Role;
use egui::{Align2, Color32, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2};

use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::model::Listen;
use crate::editor::style::{SMALL, TITLE, font};

/// One large button for each thing that can be heard. In a blind comparison: A, X, B.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let heard =
        if desk.model.is_blind() { [Listen::A, Listen::X, Listen::B] } else { [Listen::Dry, Listen::A, Listen::B] };
    let width = (rect.width() - 2.0 * 6.0) / 3.0;
    for (index, listen) in heard.into_iter().enumerate() {
        let left = rect.left() + index as f32 * (width + 6.0);
        button(ui, Rect::from_x_y_ranges(left..=(left + width), rect.y_range()), desk, listen);
    }
}

fn button(ui: &Ui, rect: Rect, desk: &mut Desk, listen: Listen) {
    let (text, key, name) = words(listen);
    let color = color(desk, listen);
    let on = desk.model.listen == listen;
    let response = ui.interact(rect, ui.scope_id().with(("listen", listen)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, on, name));
    let palette = desk.palette;
    let (fill, text_color) = if on { (color, palette.sheet) } else { (palette.sheet, color) };
    ui.painter().rect(rect, 3.0, fill, Stroke::new(1.5, color), StrokeKind::Inside);
    let middle = rect.center();
    ui.painter().text(pos2(middle.x, middle.y - 7.0), Align2::CENTER_CENTER, text, font(TITLE + 3.0), text_color);
    // The bench's line style, so that the button says which curve is which without colour.
    line_sample(
        ui,
        [pos2(rect.left() + 10.0, rect.bottom() - 9.0), pos2(rect.right() - 10.0, rect.bottom() - 9.0)],
        listen,
        text_color,
    );
    if response.has_focus() || response.hovered() {
        ui.painter().rect_stroke(rect.shrink(3.0), 2.0, Stroke::new(1.0, text_color), StrokeKind::Inside);
    }
    // Also what seems to be on: a host that rests takes a value over only when it plays on.
    if response.on_hover_text(format!("{name}: key {key}")).clicked() {
        desk.act(Action::Listen(listen));
    }
}

fn words(listen: Listen) -> (&'static str, &'static str, &'static str) {
    match listen {
        Listen::Dry => ("dry", "D", "listen to the dry take"),
        Listen::A => ("A", "A", "listen to bench A"),
        Listen::B => ("B", "B", "listen to bench B"),
        Listen::X => ("X", "X", "listen to X"),
    }
}

fn color(desk: &Desk, listen: Listen) -> Color32 {
    match listen {
        Listen::Dry => desk.palette.dry,
        Listen::A => desk.palette.a,
        Listen::B => desk.palette.b,
        Listen::X => desk.palette.ink,
    }
}

/// A short piece of the line a curve is drawn with.
pub fn line_sample(ui: &Ui, ends: [egui::Pos2; 2], listen: Listen, color: Color32) {
    let painter = ui.painter();
    match listen {
        Listen::A => {
            painter.line_segment(ends, Stroke::new(2.0, color));
        }
        Listen::B => painter.extend(egui::Shape::dashed_line(&ends, Stroke::new(2.0, color), 8.0, 5.0)),
        Listen::Dry => painter.extend(egui::Shape::dashed_line(&ends, Stroke::new(1.2, color), 2.0, 3.0)),
        Listen::X => {
            painter.text(ends[0].lerp(ends[1], 0.5), Align2::CENTER_CENTER, "A or B", font(SMALL), color);
        }
    }
}
