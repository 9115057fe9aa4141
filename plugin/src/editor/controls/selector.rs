//! The selector as a lever in its slot.

use egui::{Align2, Rect, Sense, Stroke, Ui, pos2, vec2};

use super::grab::{Travel, grab};
use crate::editor::desk::Desk;
use crate::editor::model::Control;
use crate::editor::paper::{caption, cell, focus_ring};
use crate::editor::style::font;

/// The selector: a lever in a slot, a stop per position, the sound of the position under it.
pub fn selector(ui: &mut Ui, rect: Rect, desk: &mut Desk, control: &Control, sounds: &[String]) {
    let response = ui.interact(rect, ui.scope_id().with(control.id), Sense::click_and_drag());
    let stops = Stops { rect, count: sounds.len().max(1) };
    let travel = Travel {
        low: 1.0,
        high: stops.count as f64,
        step: 1.0,
        points: stops.pitch() * (stops.count as f32 - 1.0).max(1.0),
        stepped: true,
        sideways: true,
    };
    if let (true, Some(at)) = (response.clicked(), response.interact_pointer_pos()) {
        let position = stops.nearest(at.x);
        if position as f64 != control.value {
            desk.put(control.id, position as f64);
        }
    }
    grab(ui, &response, desk, control, travel);
    draw(ui, &stops, desk, control);
    let response = response.on_hover_ui_at_pointer(|ui| {
        ui.label(&control.tip);
        for (index, sound) in sounds.iter().enumerate() {
            ui.label(format!("{}  {sound}", index + 1));
        }
    });
    if response.has_focus() {
        focus_ring(ui, rect, desk.palette.ink);
    }
    let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - 20.0), rect.max);
    let [bridge, neck] = if rect.width() < 130.0 { ["bridge", "neck"] } else { ["bridge end", "neck end"] };
    cell(ui, foot, caption(bridge, desk.palette), egui::Align::Min);
    cell(ui, foot, caption(neck, desk.palette), egui::Align::Max);
}

struct Stops {
    rect: Rect,
    count: usize,
}

impl Stops {
    fn pitch(&self) -> f32 {
        ((self.rect.width() - 32.0) / (self.count as f32 - 1.0).max(1.0)).min(44.0)
    }

    fn x(&self, position: usize) -> f32 {
        let middle = (self.count as f32 + 1.0) / 2.0;
        self.rect.center().x + (position as f32 - middle) * self.pitch()
    }

    fn nearest(&self, x: f32) -> usize {
        (1..=self.count).min_by(|&a, &b| (self.x(a) - x).abs().total_cmp(&(self.x(b) - x).abs())).unwrap_or(1)
    }
}

fn draw(ui: &Ui, stops: &Stops, desk: &Desk, control: &Control) {
    let (painter, palette) = (ui.painter(), desk.palette);
    let here = (control.value.round() as usize).clamp(1, stops.count);
    let slot = stops.rect.bottom() - 58.0;
    let ink = Stroke::new(1.5, palette.ink);
    let body = Rect::from_x_y_ranges((stops.x(1) - 14.0)..=(stops.x(stops.count) + 14.0), (slot - 7.0)..=(slot + 7.0));
    painter.rect(body, 7.0, palette.field, Stroke::new(1.0, palette.faint), egui::StrokeKind::Middle);
    painter.hline(stops.x(1)..=stops.x(stops.count), slot, Stroke::new(1.0, palette.faint));
    for position in 1..=stops.count {
        let at = pos2(stops.x(position), slot);
        let chosen = position == here;
        painter.circle(at, 4.0, if chosen { palette.ink } else { palette.sheet }, Stroke::new(1.0, palette.ink));
        let (size, color) = if chosen { (17.0, palette.ink) } else { (13.0, palette.faint) };
        let below = at + vec2(0.0, 22.0);
        painter.text(below, Align2::CENTER_CENTER, position.to_string(), font(size), color);
    }
    // The lever leans a little the way it was pushed, as a real one does.
    let foot = pos2(stops.x(here), slot);
    let lean = (here as f32 - (stops.count as f32 + 1.0) / 2.0) * 4.0;
    let tip = pos2(foot.x + lean, stops.rect.top() + 12.0);
    let side = vec2(3.0, 0.0);
    let lever = vec![tip - side, tip + side, foot + side * 0.6, foot - side * 0.6];
    painter.add(egui::Shape::convex_polygon(lever, palette.ink, egui::Stroke::NONE));
    painter.circle(tip, 7.0, palette.sheet, ink);
}
