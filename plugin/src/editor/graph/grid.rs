//! The squared paper the curves are drawn on.

use egui::{Align2, Stroke, Ui, pos2};

use super::scale::Scale;
use crate::editor::palette::Palette;
use crate::editor::style::{SMALL, font};

const NUMBERED: [(f64, &str); 10] = [
    (20.0, "20"),
    (50.0, "50"),
    (100.0, "100"),
    (200.0, "200"),
    (500.0, "500"),
    (1e3, "1k"),
    (2e3, "2k"),
    (5e3, "5k"),
    (1e4, "10k"),
    (2e4, "20k"),
];

/// Lines and numbers.
pub fn draw(ui: &Ui, scale: &Scale, palette: &Palette) {
    let painter = ui.painter();
    let line = Stroke::new(1.0, palette.rule);
    let thin = Stroke::new(0.5, palette.rule);
    for decade in [10.0, 100.0, 1e3, 1e4] {
        for hertz in (2..10).map(|n| decade * f64::from(n)).filter(|hertz| (20.0..=20e3).contains(hertz)) {
            painter.vline(scale.x(hertz), scale.plot.y_range(), thin);
        }
    }
    for (hertz, number) in NUMBERED {
        let x = scale.x(hertz);
        painter.vline(x, scale.plot.y_range(), line);
        let align = if hertz > 15e3 { Align2::RIGHT_TOP } else { Align2::CENTER_TOP };
        let x = if hertz > 15e3 { scale.plot.right() + 8.0 } else { x };
        painter.text(pos2(x, scale.plot.bottom() + 4.0), align, number, font(SMALL), palette.faint);
    }
    for db in levels(scale) {
        let y = scale.y(db);
        painter.hline(scale.plot.x_range(), y, if db == 0.0 { Stroke::new(1.0, palette.faint) } else { line });
        let text = if db > 0.0 { format!("+{db:.0}") } else { format!("{db:.0}").replace('-', "\u{2212}") };
        painter.text(pos2(scale.plot.left() - 6.0, y), Align2::RIGHT_CENTER, text, font(SMALL), palette.faint);
    }
}

/// Levels that get a line: every 6 dB, or every 12 where lines would crowd.
fn levels(scale: &Scale) -> impl Iterator<Item = f64> + use<> {
    let [low, high] = scale.range_db;
    let step = if scale.plot.height() / (high - low) as f32 * 6.0 < 26.0 { 12.0 } else { 6.0 };
    let first = (low / step).ceil() as i32;
    let last = (high / step).floor() as i32;
    (first..=last).map(move |n| f64::from(n) * step)
}
