//! What is on in this position, and what changed.

use egui::{Align, Rect, RichText, Ui};

use super::wrapped;
use crate::editor::desk::Desk;
use crate::editor::paper::{caption, cell, split_top};
use crate::editor::style::TITLE;

/// What is on in this position, and how the benches differ.
pub fn show(ui: &mut Ui, rect: Rect, desk: &Desk) {
    let answers = &desk.model.answers;
    let (head, rest) = split_top(rect, 16.0, 2.0);
    cell(ui, head, caption("on the benches, in this position", desk.palette), Align::Min);
    let (sounding, rest) = split_top(rest, 24.0, 2.0);
    cell(ui, sounding, RichText::new(&answers.sounding).size(TITLE), Align::Min);
    wrapped(ui, rest, &answers.changed, desk.palette.faint);
}
