//! One bench: its wiring, its parts, its positions, its joints.

mod drawn;
mod heading;
mod nets;
mod parts;
mod positions;

use egui::{Rect, ScrollArea, Stroke, Ui, pos2};

use super::desk::Desk;
use super::model::{BenchId, Notice, Place};
use super::notices::notice_line;
use super::paper::{region, sheet};

/// Width of the bench's mark at its edge.
const MARK: f32 = 5.0;

/// One bench.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let inside = sheet(ui, rect, desk.palette);
    mark(ui, rect, desk, bench);
    let inside = Rect::from_min_max(pos2(inside.left() + MARK, inside.top()), inside.max);
    let (head, rest) = super::paper::split_top(inside, heading::HEIGHT, 4.0);
    region(ui, head, &format!("bench {}", bench.letter()), |ui| heading::show(ui, head, desk, bench));
    region(ui, rest, &format!("bench {} tables", bench.letter()), |ui| {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            notices_here(ui, desk, bench);
            parts::show(ui, desk, bench);
            ui.add_space(8.0);
            positions::show(ui, desk, bench);
            ui.add_space(8.0);
            drawn::show(ui, desk, bench);
            nets::show(ui, desk, bench);
        });
    });
}

/// The bench's colour and line style down its left edge.
fn mark(ui: &Ui, rect: Rect, desk: &Desk, bench: BenchId) {
    let stroke = Stroke::new(MARK, desk.palette.bench(bench));
    let x = rect.left() + MARK / 2.0;
    let (top, bottom) = (pos2(x, rect.top() + 1.0), pos2(x, rect.bottom() - 1.0));
    match bench {
        BenchId::A => {
            ui.painter().line_segment([top, bottom], stroke);
        }
        BenchId::B => ui.painter().extend(egui::Shape::dashed_line(&[top, bottom], stroke, 18.0, 7.0)),
    }
}

fn notices_here(ui: &mut Ui, desk: &Desk, bench: BenchId) {
    let here: Vec<&Notice> = desk.model.notices.iter().filter(|notice| notice.place == Place::Bench(bench)).collect();
    for notice in &here {
        notice_line(ui, desk.palette, notice);
    }
    if !here.is_empty() {
        ui.add_space(6.0);
    }
}
