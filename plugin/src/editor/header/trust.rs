//! Exact or estimated, and by how much it was off.

use egui::{Align, Rect, RichText, Stroke, StrokeKind, Ui};

use crate::editor::desk::Desk;
use crate::editor::model::{Listen, Trust};
use crate::editor::paper::{caption, cell, split_top};
use crate::editor::style::TITLE;

/// The badge of what is heard.
pub fn show(ui: &mut Ui, rect: Rect, desk: &Desk) {
    let palette = desk.palette;
    let (word, why, warns) = words(desk);
    let edge = if warns { palette.warning } else { palette.faint };
    ui.painter().rect(rect, 3.0, palette.field, Stroke::new(1.0, edge), StrokeKind::Inside);
    let inside = rect.shrink2(egui::vec2(8.0, 6.0));
    let (head, rest) = split_top(inside, 24.0, 2.0);
    let color = if warns { palette.warning } else { palette.ink };
    cell(ui, head, RichText::new(word).size(TITLE).color(color), Align::Min);
    for (line, text) in why.iter().enumerate() {
        let (place, _) = split_top(rest.translate(egui::vec2(0.0, line as f32 * 16.0)), 16.0, 0.0);
        cell(ui, place, caption(text, palette), Align::Min);
    }
}

fn words(desk: &Desk) -> (String, [String; 2], bool) {
    if desk.model.is_blind() {
        return ("blind".into(), ["nothing is".into(), "given away".into()], false);
    }
    if desk.model.listen == Listen::Dry {
        return ("as it is".into(), ["the take,".into(), "untouched".into()], false);
    }
    match &desk.model.answers.trust {
        Trust::Unknown => ("…".into(), ["being".into(), "worked out".into()], false),
        Trust::Exact => ("exact".into(), ["only the circuit".into(), "differs".into()], false),
        Trust::Estimated { off } => ("estimated".into(), [format!("{off} off"), "on known takes".into()], false),
        Trust::Silent => ("silent".into(), ["no pickup".into(), "reaches the jack".into()], true),
    }
}
