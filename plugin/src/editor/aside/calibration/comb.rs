//! A comb: what the pickups of a position make of a string, as fitted and as measured.

use egui::accesskit::Role;
use egui::{Align, Align2, Button, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use crate::editor::desk::Desk;
use crate::editor::model::CombView;
use crate::editor::paper::{caption, cell, split_left};
use crate::editor::style::{SMALL, font};

/// Height of the plot.
const HEIGHT: f32 = 150.0;
/// Levels that are shown below the highest, in dB.
const SPAN_DB: f64 = 40.0;
/// Levels with a line are so far apart, in dB.
const LEVELS_DB: f64 = 10.0;
/// Frequencies with a line, in hertz.
const LINES: [(f64, &str); 6] = [(100.0, "100"), (200.0, "200"), (500.0, "500"), (1e3, "1k"), (2e3, "2k"), (5e3, "5k")];

/// One comb of all, with arrows to the others: a line fitted, crosses measured.
pub fn show(ui: &mut Ui, desk: &mut Desk, combs: &[CombView]) {
    let chosen = desk.memory.calibration.1.min(combs.len() - 1);
    let comb = &combs[chosen];
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
    let (back, rest) = split_left(row, 26.0, 4.0);
    let (name, on) = split_left(rest, rest.width() - 30.0, 4.0);
    let text = format!("{} ({} of {})", comb.name, chosen + 1, combs.len());
    cell(ui, name, caption(text, desk.palette), Align::Center);
    for (place, sign, name, to) in [
        (back, "\u{2039}", "previous comb", (chosen + combs.len() - 1) % combs.len()),
        (on, "\u{203A}", "next comb", (chosen + 1) % combs.len()),
    ] {
        let response = ui.put(place, Button::new(sign)).on_hover_text(name);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
        if response.clicked() {
            desk.memory.calibration.1 = to;
        }
    }
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, format!("comb of {}", comb.name)));
    response.on_hover_text(
        "Level in dB over Hz, without what pluck, note and string have to do with it. Line: fitted. Crosses: measured.",
    );
    plot(ui, rect.with_max_y(rect.bottom() - 16.0), desk, comb);
}

fn plot(ui: &Ui, rect: Rect, desk: &Desk, comb: &CombView) {
    let palette = desk.palette;
    let frame = rect.shrink2(vec2(4.0, 2.0));
    let painter = ui.painter().with_clip_rect(frame.expand(1.0).intersect(ui.clip_rect()));
    let ends = comb.fitted.first().zip(comb.fitted.last()).map_or((80.0, 6500.0), |(first, last)| (first[0], last[0]));
    let top = comb.fitted.iter().map(|point| point[1]).fold(f64::MIN, f64::max) + 3.0;
    let x = |hertz: f64| frame.left() + ((hertz / ends.0).ln() / (ends.1 / ends.0).ln()) as f32 * frame.width();
    let at = |[hertz, db]: [f64; 2]| pos2(x(hertz), frame.top() + ((top - db) / SPAN_DB) as f32 * frame.height());
    ui.painter().rect_stroke(frame, 0.0, Stroke::new(1.0, palette.rule), StrokeKind::Inside);
    for (hertz, text) in LINES.iter().filter(|(hertz, _)| (ends.0..ends.1).contains(hertz)) {
        painter.vline(x(*hertz), frame.y_range(), Stroke::new(1.0, palette.rule));
        let below = pos2(x(*hertz), frame.bottom() + 2.0);
        ui.painter().text(below, Align2::CENTER_TOP, *text, font(SMALL), palette.faint);
    }
    let mut level = (top / LEVELS_DB).floor() * LEVELS_DB;
    while level > top - SPAN_DB {
        painter.hline(frame.x_range(), at([ends.0, level]).y, Stroke::new(1.0, palette.rule));
        level -= LEVELS_DB;
    }
    painter.line(comb.fitted.iter().map(|&point| at(point)).collect(), Stroke::new(1.8, palette.ink));
    for &point in &comb.measured {
        let (place, arm) = (at(point), 2.5);
        let stroke = Stroke::new(1.2, palette.dry);
        painter.line_segment([place + vec2(-arm, -arm), place + vec2(arm, arm)], stroke);
        painter.line_segment([place + vec2(-arm, arm), place + vec2(arm, -arm)], stroke);
    }
}
