//! A value on a short line: cable, input, output.

use egui::{Align, Rect, Sense, Stroke, Ui, pos2};

use super::grab::{Travel, grab};
use crate::editor::action::Field;
use crate::editor::desk::Desk;
use crate::editor::field::{FieldLook, refusal_slip, value_field};
use crate::editor::model::Control;
use crate::editor::paper::{caption, cell, focus_ring, split_left};
use crate::editor::style::SMALL;

const TRAVEL: Travel = Travel { low: 0.0, high: 1.0, step: 0.02, points: 160.0, stepped: false, sideways: true };

/// Label, line with a mark on it, value to be typed.
pub fn dial(ui: &mut Ui, rect: Rect, desk: &mut Desk, control: &Control) {
    let (label, rest) = split_left(rect, 40.0, 2.0);
    let (line, field) = split_left(rest, (rest.width() - 58.0).max(20.0), 4.0);
    cell(ui, label, caption(&control.label, desk.palette), Align::Min);
    let response =
        ui.interact(line, ui.scope_id().with(control.id), Sense::click_and_drag()).on_hover_text(&control.tip);
    grab(ui, &response, desk, control, TRAVEL);
    draw(ui, line, desk, control);
    if response.has_focus() {
        focus_ring(ui, line, desk.palette.ink);
    }
    let name = format!("{} value", control.label);
    let look =
        FieldLook { value: &control.text, name: &name, tip: &control.tip, hint: "", size: SMALL, align: Align::Max };
    value_field(ui, field, desk, &Field::Control(control.id), &look);
    refusal_slip(ui, desk, &Field::Control(control.id), field);
}

fn draw(ui: &Ui, line: Rect, desk: &Desk, control: &Control) {
    let (painter, palette) = (ui.painter(), desk.palette);
    let (left, right) = (line.left() + 5.0, line.right() - 5.0);
    painter.hline(left..=right, line.center().y, Stroke::new(1.0, palette.faint));
    let x = egui::lerp(left..=right, control.value.clamp(0.0, 1.0) as f32);
    painter.circle(pos2(x, line.center().y), 5.0, palette.field, Stroke::new(1.5, palette.ink));
}
