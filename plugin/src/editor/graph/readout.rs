//! What the curves are under the pointer.

use egui::{Align2, Color32, Rect, Stroke, StrokeKind, Ui, pos2, vec2};

use super::scale::{Scale, level_at};
use crate::editor::desk::Desk;
use crate::editor::model::BenchId;
use crate::editor::style::{BODY, font};

/// A line at the pointer, a dot on each curve and a slip that reads them out.
pub fn draw(ui: &Ui, scale: &Scale, desk: &Desk, pointer: egui::Pos2) {
    let (painter, palette) = (ui.painter(), desk.palette);
    let hertz = scale.hertz(pointer.x);
    painter.vline(pointer.x, scale.plot.y_range(), Stroke::new(1.0, palette.faint));
    let mut lines = vec![(hertz_text(hertz), palette.ink)];
    let levels = BenchId::BOTH.map(|bench| level_at(&desk.model.graph.curves[bench.index()], hertz));
    for (bench, level) in BenchId::BOTH.into_iter().zip(levels) {
        let Some(level) = level else { continue };
        let at = pos2(pointer.x, scale.y(level));
        if scale.plot.contains(at) {
            painter.circle(at, 3.5, palette.sheet, Stroke::new(2.0, palette.bench(bench)));
        }
        lines.push((format!("{}  {}", bench.letter(), db_text(level)), palette.bench(bench)));
    }
    if let [Some(a), Some(b)] = levels {
        lines.push((format!("B \u{2212} A  {}", db_text(b - a)), palette.ink));
    }
    slip(ui, scale.plot, desk, pointer, &lines);
}

fn slip(ui: &Ui, plot: Rect, desk: &Desk, pointer: egui::Pos2, lines: &[(String, Color32)]) {
    let (painter, palette) = (ui.painter(), desk.palette);
    let size = vec2(118.0, lines.len() as f32 * 18.0 + 10.0);
    let left = if pointer.x + size.x + 14.0 < plot.right() { pointer.x + 12.0 } else { pointer.x - size.x - 12.0 };
    let top = (pointer.y - size.y - 8.0).clamp(plot.top() + 4.0, (plot.bottom() - size.y).max(plot.top() + 4.0));
    let rect = Rect::from_min_size(pos2(left, top), size);
    painter.rect(rect, 3.0, palette.sheet, Stroke::new(1.0, palette.faint), StrokeKind::Inside);
    for (row, (text, color)) in lines.iter().enumerate() {
        let at = rect.min + vec2(9.0, 5.0 + 18.0 * row as f32);
        painter.text(at, Align2::LEFT_TOP, text, font(BODY), *color);
    }
}

fn hertz_text(hertz: f64) -> String {
    if hertz < 1000.0 { format!("{hertz:.0} Hz") } else { format!("{:.2} kHz", hertz / 1000.0) }
}

/// A level with its sign, so that +0.4 and -0.4 are never mixed up.
fn db_text(db: f64) -> String {
    format!("{}{:.1} dB", if db < -0.05 { "\u{2212}" } else { "+" }, db.abs())
}
