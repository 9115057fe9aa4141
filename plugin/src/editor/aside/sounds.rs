//! What a bench does in every position, read off its circuit as a sounds table.

use egui::accesskit::Role;
use egui::{Align, Button, Rect, RichText, ScrollArea, Sense, Ui, WidgetInfo, vec2};

use crate::editor::action::ControlId;
use crate::editor::desk::Desk;
use crate::editor::model::{BenchId, SoundRow, SoundsSetting};
use crate::editor::paper::{caption, cell, heading, split_left, split_top};
use crate::editor::style::ROW;

/// From this width on, sound and knobs stand in one line.
const ONE_LINE: f32 = 460.0;

/// What each position gives with the switches standing in every way, then knob by knob.
pub fn show(ui: &mut Ui, desk: &mut Desk, bench: BenchId) {
    let table = &desk.model.bench(bench).sounds;
    if table.settings.is_empty() {
        ui.label(caption("being read off the circuit …", desk.palette));
        return;
    }
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let how = "Read off the circuit: what sounds with every knob on 10, and which knobs do something there. A click \
                   puts selector and switches where a line is.";
        ui.label(caption(how, desk.palette));
        ui.add_space(6.0);
        for setting in &table.settings {
            let name = if setting.switches.is_empty() { "positions" } else { &setting.switches };
            heading(ui, name, desk.palette);
            for row in &setting.rows {
                show_row(ui, desk, bench, (setting, row));
            }
            ui.add_space(8.0);
        }
        knobs(ui, desk, bench);
    });
}

fn show_row(ui: &mut Ui, desk: &mut Desk, bench: BenchId, (setting, row): (&SoundsSetting, &SoundRow)) {
    let one_line = ui.available_width() >= ONE_LINE;
    let height = if one_line { ROW } else { ROW + 16.0 };
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    let palette = desk.palette;
    response.widget_info(|| {
        let name = format!("position {} {}", row.position, setting.switches);
        WidgetInfo::selected(Role::Button, true, row.here, name.trim_end())
    });
    if row.here {
        ui.painter().rect_filled(rect, 2.0, palette.wash(bench));
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 2.0, palette.field);
    }
    let (sound, knobs) = places(rect, one_line);
    let (number, sound) = split_left(sound, 16.0, 4.0);
    cell(ui, number, RichText::new(row.position.to_string()), Align::Min);
    cell(ui, sound, RichText::new(&row.sound), Align::Min);
    let acting = if row.knobs.is_empty() { "no knob does anything" } else { &row.knobs };
    cell(ui, knobs, caption(acting, palette), Align::Min);
    if response.clicked() {
        desk.put(ControlId::Selector, f64::from(row.position));
        for (switch, position) in setting.standing.iter().enumerate() {
            desk.put(ControlId::Switch(switch), f64::from(*position));
        }
    }
}

/// Where the sound and the knobs of a row stand.
fn places(rect: Rect, one_line: bool) -> (Rect, Rect) {
    let rect = rect.shrink2(vec2(4.0, 0.0));
    if one_line {
        return split_left(rect, rect.width() * 0.44, 8.0);
    }
    let (sound, knobs) = split_top(rect, ROW - 2.0, 0.0);
    (sound, knobs.with_min_x(knobs.left() + 20.0).with_max_y(knobs.bottom() - 2.0))
}

/// What each knob does, in the notation of the table; the table as a document.
fn knobs(ui: &mut Ui, desk: &Desk, bench: BenchId) {
    let table = &desk.model.bench(bench).sounds;
    if let Some(wordless) = &table.wordless {
        let text = format!("A sounds table has no words for all of it: {wordless}.");
        ui.label(RichText::new(text).color(desk.palette.warning));
        return;
    }
    if !table.knobs.is_empty() {
        heading(ui, "knobs, as a sounds table has it", desk.palette);
    }
    for knob in &table.knobs {
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
        let (label, does) = places(rect, true);
        cell(ui, label, RichText::new(&knob.label), Align::Min);
        cell(ui, does, RichText::new(&knob.does), Align::Min);
    }
    ui.add_space(8.0);
    let tip = "Copies the table as a document: change it, and have a wiring found for it.";
    if ui.add(Button::new("copy as a document")).on_hover_text(tip).clicked() {
        ui.ctx().copy_text(table.text.clone());
    }
}
