//! The positions in numbers: sound, resonance, level, hum.

use egui::{Align, Button, Rect, RichText, Sense, Ui, WidgetInfo, vec2};

use crate::editor::action::ControlId;
use crate::editor::desk::Desk;
use crate::editor::memory::Aside;
use crate::editor::model::{BenchId, PositionRow};
use crate::editor::paper::{caption, cell, heading_beside, split_left};
use crate::editor::style::{ROW, SMALL};

/// A row per position; a click moves the selector there.
pub fn show(ui: &mut Ui, desk: &mut Desk, bench: BenchId) {
    let room = heading_beside(ui, "positions", desk.palette, 234.0);
    open(ui, room.with_min_x(room.left() + 8.0), desk, bench);
    let view = desk.model.bench(bench);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let words = ["", "sound", "resonance", "level", "hum"];
    for (index, (place, word)) in columns(rect).into_iter().zip(words).enumerate() {
        cell(ui, place, caption(word, desk.palette), align(index));
    }
    for row in &view.positions {
        show_row(ui, desk, bench, row);
    }
    if !view.nearest.is_empty() {
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
        cell(ui, rect.shrink2(vec2(4.0, 0.0)), caption(&view.nearest, desk.palette), Align::Min);
    }
}

/// What opens what the table has no room for.
fn open(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let letter = bench.letter();
    let ways = [
        (
            Aside::Sounds(bench),
            ("sounds", 58.0, format!("sounds of bench {letter}")),
            "What each position sounds like and what each knob does there, with the switches standing in every way.",
        ),
        (
            Aside::Faults(bench),
            ("find fault", 74.0, format!("find a fault on bench {letter}")),
            "Type what a meter reads at the jack of the guitar that was built, and have the fault found.",
        ),
        (
            Aside::Find,
            ("find wiring", 82.0, format!("find a wiring, from bench {letter}")),
            "Write down the sounds you want, and have a wiring found that gives them.",
        ),
    ];
    let mut rest = rect.shrink2(vec2(0.0, 1.0));
    for (aside, (text, width, name), tip) in ways {
        let (place, after) = split_left(rest, width, 6.0);
        rest = after;
        let button = Button::new(RichText::new(text).size(SMALL)).small();
        let response = ui.put(place, button).on_hover_text(tip);
        response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Button, true, name.clone()));
        if response.clicked() {
            desk.memory.toggle(aside);
        }
    }
}

fn show_row(ui: &mut Ui, desk: &mut Desk, bench: BenchId, row: &PositionRow) {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let palette = desk.palette;
    response.widget_info(|| {
        let name = format!("position {} of bench {}", row.position, bench.letter());
        WidgetInfo::selected(egui::accesskit::Role::Button, true, row.here, name)
    });
    if row.here {
        ui.painter().rect_filled(rect, 2.0, palette.wash(bench));
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 2.0, palette.field);
    }
    let number = row.position.to_string();
    let texts = [&number, &row.sound, &row.resonance, &row.level, &row.hum];
    for (index, (place, text)) in columns(rect).into_iter().zip(texts).enumerate() {
        let color = if index == 4 && !row.here { palette.faint } else { palette.ink };
        cell(ui, place, RichText::new(text).color(color), align(index));
    }
    if response.on_hover_text(&row.details).clicked() {
        desk.put(ControlId::Selector, f64::from(row.position));
    }
    if let Some(remark) = &row.remark {
        let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 16.0), Sense::hover());
        let text = RichText::new(format!("warning: {remark}")).size(11.5).color(palette.warning);
        cell(ui, rect.with_min_x(rect.left() + 24.0), text, Align::Min);
    }
}

fn align(column: usize) -> Align {
    if (2..=3).contains(&column) { Align::Max } else { Align::Min }
}

fn columns(rect: Rect) -> [Rect; 5] {
    let rect = rect.shrink2(vec2(4.0, 0.0));
    let (number, rest) = split_left(rect, 12.0, 4.0);
    let (sound, rest) = split_left(rest, rest.width() - 178.0, 4.0);
    let (resonance, rest) = split_left(rest, 58.0, 4.0);
    let (level, hum) = split_left(rest, 54.0, 10.0);
    [number, sound, resonance, level, hum]
}
