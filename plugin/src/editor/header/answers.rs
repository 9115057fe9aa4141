//! What is on in this position, and what changed.

use egui::{Align, Rect, RichText, Ui};

use crate::editor::desk::Desk;
use crate::editor::paper::{caption, cell, split_top};
use crate::editor::style::{BODY, TITLE};

/// What is on in this position, and how the benches differ.
pub fn show(ui: &mut Ui, rect: Rect, desk: &Desk) {
    let answers = &desk.model.answers;
    let (head, rest) = split_top(rect, 16.0, 4.0);
    cell(ui, head, caption("on the benches, in this position", desk.palette), Align::Min);
    let (sounding, rest) = split_top(rest, 24.0, 6.0);
    cell(ui, sounding, RichText::new(&answers.sounding).size(TITLE), Align::Min);
    let (changed, _) = split_top(rest, 18.0, 0.0);
    let changed_text = RichText::new(&answers.changed).size(BODY).color(desk.palette.faint);
    cell(ui, changed, changed_text, Align::Min);
}
