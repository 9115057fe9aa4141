//! Warnings, where their cause is.

use egui::{RichText, Sense, Ui};

use super::model::{Notice, Severity};
use super::palette::Palette;
use super::style::SMALL;

/// A notice in as many lines as it takes, its severity in a word.
pub fn notice_line(ui: &mut Ui, palette: &Palette, notice: &Notice) {
    let mend = if notice.mend.is_empty() { String::new() } else { format!("; {}", notice.mend) };
    let text = format!("{}: {}{mend}", word(notice.severity), notice.what);
    ui.label(RichText::new(text).size(SMALL).color(color(notice.severity, palette)))
        .interact(Sense::hover())
        .on_hover_text(&notice.mend);
}

/// The word of a severity, so that colour is not all there is.
pub fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Error => "error",
    }
}

/// The colour of a severity.
pub fn color(severity: Severity, palette: &Palette) -> egui::Color32 {
    match severity {
        Severity::Note => palette.faint,
        Severity::Warning | Severity::Error => palette.warning,
    }
}
