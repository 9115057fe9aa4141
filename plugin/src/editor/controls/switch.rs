//! A two-way (or three-way) switch.

use egui::{Align, Rect, RichText, Sense, Stroke, StrokeKind, Ui, pos2, vec2};

use super::grab::{Travel, grab};
use crate::editor::desk::Desk;
use crate::editor::model::Control;
use crate::editor::paper::{caption, cell, focus_ring};

/// A switch: a click throws it, the name of where it stands is written under it.
pub fn switch(ui: &mut Ui, rect: Rect, desk: &mut Desk, control: &Control, names: &[String]) {
    let top = Rect::from_min_size(rect.min, vec2(rect.width(), 18.0));
    let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - 22.0), rect.max);
    let color = if control.used { desk.palette.ink } else { desk.palette.faint };
    cell(ui, top, RichText::new(&control.label).color(color), Align::Center);
    let middle = Rect::from_min_max(pos2(rect.left(), top.bottom()), pos2(rect.right(), foot.top()));
    let body = Rect::from_center_size(middle.center(), vec2(22.0, 46.0));
    let response = ui.interact(body.expand(3.0), ui.scope_id().with(control.id), Sense::click_and_drag());
    let count = names.len().max(1);
    let travel = Travel { low: 1.0, high: count as f64, step: 1.0, points: 30.0, stepped: true, sideways: false };
    if response.clicked() {
        let next = if control.value >= travel.high { travel.low } else { control.value + 1.0 };
        desk.put(control.id, next);
    } else {
        grab(ui, &response, desk, control, travel);
    }
    draw(ui, body, desk, control, count);
    let here = (control.value.round() as usize).clamp(1, count) - 1;
    if let Some(name) = names.get(here) {
        cell(ui, foot, caption(name, desk.palette), Align::Center);
    }
    if response.on_hover_text(&control.tip).has_focus() {
        focus_ring(ui, body, desk.palette.ink);
    }
}

fn draw(ui: &Ui, body: Rect, desk: &Desk, control: &Control, count: usize) {
    let (painter, palette) = (ui.painter(), desk.palette);
    let color = if control.used { palette.ink } else { palette.rule };
    painter.rect(body, 11.0, palette.field, Stroke::new(1.5, color), StrokeKind::Middle);
    let share = (control.value as f32 - 1.0) / (count as f32 - 1.0).max(1.0);
    let y = egui::lerp((body.bottom() - 11.0)..=(body.top() + 11.0), share);
    painter.circle_filled(pos2(body.center().x, y), 7.0, color);
}
