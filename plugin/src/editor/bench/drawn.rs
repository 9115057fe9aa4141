//! The wiring drawn, small; a click opens it large.

use egui::{Sense, Ui};

use crate::editor::desk::Desk;
use crate::editor::memory::Aside;
use crate::editor::model::BenchId;
use crate::editor::paper::heading;
use crate::editor::wiring::{Canvas, describe};

/// The parts from their lug side, as wide as the bench.
pub fn show(ui: &mut Ui, desk: &mut Desk, bench: BenchId) {
    let Some(drawn) = &desk.model.bench(bench).drawn else { return };
    heading(ui, "wiring from the lug side; the live path is lit", desk.palette);
    let drawing = &drawn.pictorial;
    let corner = ui.available_rect_before_wrap().min;
    let canvas = Canvas::small(corner, ui.available_width(), drawing, desk.memory.theme);
    let (_, response) = ui.allocate_exact_size(canvas.rect().size(), Sense::click());
    canvas.paint(ui.painter(), drawing, &drawn.live);
    describe(&response, &format!("drawing of bench {}", bench.letter()), true);
    let tip = canvas.told(ui, drawing, &desk.model.bench(bench).nets);
    let tip = tip.unwrap_or_else(|| "A click shows it large.".into());
    if response.on_hover_text_at_pointer(tip).clicked() {
        desk.memory.toggle(Aside::Drawing(bench));
    }
    ui.add_space(8.0);
}
