//! A knob, 0 to 10, as a line drawing.

use egui::{Align, Rect, Sense, Stroke, Ui, Vec2, pos2, vec2};

use super::grab::{Travel, grab};
use crate::editor::action::Field;
use crate::editor::desk::Desk;
use crate::editor::field::{FieldLook, refusal_slip, value_field};
use crate::editor::model::Control;
use crate::editor::paper::{cell, focus_ring};
use crate::editor::style::BODY;

const TRAVEL: Travel = Travel { low: 0.0, high: 10.0, step: 0.5, points: 200.0, stepped: false, sideways: false };
/// Angle of 0 on the dial, from straight up, counted clockwise; 10 lies as far to the other side.
const LEFT_STOP: f32 = -150.0;

/// A knob with its label above and its number, to be typed, below.
pub fn knob(ui: &mut Ui, rect: Rect, desk: &mut Desk, control: &Control) {
    let (label_height, field_height) = (18.0, 22.0);
    let top = Rect::from_min_size(rect.min, vec2(rect.width(), label_height));
    let field = Rect::from_center_size(
        pos2(rect.center().x, rect.bottom() - field_height / 2.0),
        vec2(rect.width().min(54.0), field_height),
    );
    let dial = Rect::from_min_max(pos2(rect.left(), top.bottom()), pos2(rect.right(), field.top()));
    let color = if control.used { desk.palette.ink } else { desk.palette.faint };
    cell(ui, top, egui::RichText::new(&control.label).color(color), Align::Center);

    let radius = (dial.width().min(dial.height()) / 2.0 - 9.0).clamp(10.0, 30.0);
    let square = Rect::from_center_size(dial.center(), Vec2::splat(2.0 * radius + 8.0));
    let response =
        ui.interact(square, ui.scope_id().with(control.id), Sense::click_and_drag()).on_hover_text(&control.tip);
    grab(ui, &response, desk, control, TRAVEL);
    draw(ui, dial, radius, desk, control);
    if response.has_focus() {
        focus_ring(ui, square, desk.palette.ink);
    }

    let name = format!("{} value", control.label);
    let tip = "Type 0 to 10. Double-click the knob for 10.";
    let look = FieldLook { value: &control.text, name: &name, tip, hint: "", size: BODY, align: Align::Center };
    value_field(ui, field, desk, &Field::Control(control.id), &look);
    refusal_slip(ui, desk, &Field::Control(control.id), field);
}

fn draw(ui: &Ui, dial: Rect, radius: f32, desk: &Desk, control: &Control) {
    let (painter, palette) = (ui.painter(), desk.palette);
    let color = if control.used { palette.ink } else { palette.rule };
    let center = dial.center();
    for mark in 0..=10 {
        let towards = direction(f64::from(mark));
        let length = if mark % 5 == 0 { 6.0 } else { 3.5 };
        let (from, to) = (center + towards * (radius + 3.0), center + towards * (radius + 3.0 + length));
        painter.line_segment([from, to], Stroke::new(1.0, if control.used { palette.faint } else { palette.rule }));
    }
    painter.circle(center, radius, palette.field, Stroke::new(1.5, color));
    let towards = direction(control.value);
    painter
        .line_segment([center + towards * radius * 0.25, center + towards * (radius - 2.0)], Stroke::new(3.0, color));
}

fn direction(value: f64) -> Vec2 {
    let angle = (LEFT_STOP * (1.0 - value as f32 / 5.0)).to_radians();
    vec2(angle.sin(), -angle.cos())
}
