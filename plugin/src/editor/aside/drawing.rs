//! A bench's wiring, drawn large: from the lug side, or in symbols.

use egui::{Align, Button, Layout, Rect, Sense, Ui, UiBuilder};

use crate::editor::desk::Desk;
use crate::editor::model::BenchId;
use crate::editor::paper::{caption, cell, split_top};
use crate::editor::wiring::{Canvas, describe};

/// Which drawing; the drawing.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let (head, rest) = split_top(rect, 24.0, 4.0);
    let (words, rest) = split_top(rest, 18.0, 6.0);
    choose(ui, head, desk);
    let Some(drawn) = &desk.model.bench(bench).drawn else {
        cell(ui, words, caption("being drawn …", desk.palette), Align::Min);
        return;
    };
    let how = "What carries the signal now is lit. A lug under the pointer tells what it is joined to.";
    cell(ui, words, caption(how, desk.palette), Align::Min);
    let drawing = if desk.memory.symbols { &drawn.schematic } else { &drawn.pictorial };
    let canvas = Canvas::fitted(rest, drawing, desk.memory.theme);
    let response = ui.allocate_rect(canvas.rect(), Sense::hover());
    canvas.paint(ui.painter(), drawing, &drawn.live);
    describe(&response, &format!("large drawing of bench {}", bench.letter()), false);
    if let Some(tip) = canvas.told(ui, drawing, &desk.model.bench(bench).nets) {
        response.on_hover_text_at_pointer(tip);
    }
}

fn choose(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::left_to_right(Align::Center)));
    let ways = [
        (false, "lug side", "The parts as they lie before you when you solder."),
        (true, "schematic", "The same wiring in symbols."),
    ];
    for (symbols, name, tip) in ways {
        let button = Button::selectable(desk.memory.symbols == symbols, name).frame_when_inactive(true);
        if child.add(button).on_hover_text(tip).clicked() {
            desk.memory.symbols = symbols;
        }
    }
}
