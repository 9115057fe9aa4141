//! A bench's wiring as text.

use egui::{Align, Rect, Ui};

use super::text;
use crate::editor::action::DocumentId;
use crate::editor::desk::Desk;
use crate::editor::model::BenchId;
use crate::editor::paper::{caption, cell, split_top};

/// Buttons; the text; what is wrong with it.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let view = &desk.model.bench(bench).document;
    let id = DocumentId::Bench(bench);
    let (head, rest) = split_top(rect, 24.0, 4.0);
    let (state, rest) = split_top(rest, 18.0, 4.0);
    text::buttons(ui, head, desk, id, view);
    let sounding = if view.sounding { "this is what sounds" } else { "the last text without a mistake sounds" };
    cell(ui, state, caption(format!("{}: {sounding}", view.from), desk.palette), Align::Min);
    text::show(ui, rest, desk, id, view);
}
