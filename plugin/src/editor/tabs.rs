//! Which bench is in front, where there is room for one only.

use egui::accesskit::Role;
use egui::{Align2, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo};

use super::desk::Desk;
use super::model::BenchId;
use super::paper::split_left;
use super::style::{BODY, font};

/// A tab for each bench.
pub fn show(ui: &Ui, rect: Rect, desk: &mut Desk) {
    let (a, b) = split_left(rect, (rect.width() - 6.0) / 2.0, 6.0);
    for (place, bench) in [(a, BenchId::A), (b, BenchId::B)] {
        tab(ui, place, desk, bench);
    }
}

fn tab(ui: &Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let front = desk.memory.front == bench;
    let palette = desk.palette;
    let name = format!("show bench {}", bench.letter());
    let response = ui.interact(rect, ui.scope_id().with(("tab", bench)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, front, &name));
    let fill = if front { palette.wash(bench) } else { palette.sheet };
    let edge = if front || response.hovered() || response.has_focus() { palette.bench(bench) } else { palette.rule };
    ui.painter().rect(rect, 3.0, fill, Stroke::new(1.0, edge), StrokeKind::Inside);
    let text = format!("bench {}", bench.letter());
    ui.painter().text(rect.center(), Align2::CENTER_CENTER, text, font(BODY), palette.bench(bench));
    if response.clicked() {
        desk.memory.front = bench;
    }
}
