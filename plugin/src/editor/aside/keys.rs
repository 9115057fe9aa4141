//! What the keys do.

use egui::{RichText, Ui, vec2};

use crate::editor::desk::Desk;
use crate::editor::keyboard::KEYS;
use crate::editor::paper::{cell, split_left};

/// A line per key.
pub fn show(ui: &mut Ui, desk: &Desk) {
    for (keys, what) in KEYS {
        let label = |ui: &mut Ui| ui.label(what);
        let top = ui.available_rect_before_wrap();
        let (key, text) = split_left(top, 92.0, 8.0);
        let used = ui.new_child(egui::UiBuilder::new().max_rect(text)).scope(label).response.rect;
        let height = used.height() + 8.0;
        ui.allocate_exact_size(vec2(top.width(), height), egui::Sense::hover());
        let place = egui::Rect::from_min_max(key.min, egui::pos2(key.right(), used.bottom()));
        cell(ui, place, RichText::new(keys).color(desk.palette.faint), egui::Align::Min);
    }
}
