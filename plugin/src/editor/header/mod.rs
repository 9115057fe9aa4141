//! The first line, read left to right as the sound goes: as recorded, on the benches, what you hear.

mod answers;
mod listen;
mod loudness;
mod trust;

pub use listen::line_sample;

use egui::{Align, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::desk::Desk;
use super::memory::Aside;
use super::paper::{caption, cell, sheet, split_left, split_top};

/// Height of the first line.
pub const HEIGHT: f32 = 92.0;
/// Room for the arrow between two sheets.
const ARROW: f32 = 22.0;
/// Width of what you hear.
const HEAR: f32 = 446.0;

/// The first line.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let rest = (rect.width() - HEAR - 2.0 * ARROW).max(200.0);
    let (recorded, right) = split_left(rect, (rest * 0.42).min(420.0), ARROW);
    let (benches, hear) = split_left(right, right.width() - HEAR - ARROW, ARROW);
    show_recorded(ui, recorded, desk);
    arrow(ui, recorded, benches, desk);
    answers::show(ui, sheet(ui, benches, desk.palette), desk);
    arrow(ui, benches, hear, desk);
    show_hear(ui, sheet(ui, hear, desk.palette), desk);
}

/// What the take was made with; a click opens it.
fn show_recorded(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let inside = sheet(ui, rect, desk.palette);
    let tip = "Guitar, wiring, controls, cable and input the take was made with. They are taken out before a bench is put in.";
    let response = ui.interact(rect, ui.scope_id().with("as recorded"), Sense::click()).on_hover_text(tip);
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Button, true, "as recorded"));
    if response.hovered() || response.has_focus() {
        ui.painter().rect_stroke(rect, 3.0, Stroke::new(1.5, desk.palette.faint), egui::StrokeKind::Inside);
    }
    if response.clicked() {
        desk.memory.toggle(Aside::Recorded);
    }
    let (head, rest) = split_top(inside, 16.0, 2.0);
    cell(ui, head, caption("as recorded", desk.palette), Align::Min);
    let recorded = &desk.model.recorded;
    let (summary, foot) = split_top(rest, 36.0, 2.0);
    wrapped(ui, summary, &recorded.summary, desk.palette.ink);
    let word = if recorded.assumed.is_some() { "assumed; click to change" } else { "as you set it" };
    cell(ui, foot, caption(word, desk.palette), Align::Min);
}

/// Up to two lines of text; what does not fit is in the tooltip.
fn wrapped(ui: &mut Ui, rect: Rect, text: &str, color: egui::Color32) {
    let mut job =
        egui::text::LayoutJob::simple(text.to_owned(), super::style::font(super::style::BODY), color, rect.width());
    job.wrap.max_rows = 2;
    let galley = ui.painter().layout_job(job);
    let whole = !galley.elided;
    ui.painter().galley(rect.min, galley, color);
    if !whole {
        ui.interact(rect, ui.scope_id().with(text), Sense::hover()).on_hover_text(text);
    }
}

fn show_hear(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (keys, rest) = split_left(rect, 174.0, 10.0);
    let (match_and_blind, right) = split_left(rest, 122.0, 10.0);
    let (head, buttons) = split_top(keys, 16.0, 4.0);
    cell(ui, head, caption("what you hear", desk.palette), Align::Min);
    listen::show(ui, buttons, desk);
    loudness::show(ui, match_and_blind, desk);
    trust::show(ui, right, desk);
}

/// The line the sound takes from one sheet to the next.
fn arrow(ui: &Ui, from: Rect, to: Rect, desk: &Desk) {
    let y = from.center().y;
    let color = desk.palette.faint;
    ui.painter().hline(from.right()..=(to.left() - 5.0), y, Stroke::new(1.5, color));
    let tip = pos2(to.left() - 1.0, y);
    let head = vec![tip, tip + vec2(-8.0, -4.0), tip + vec2(-8.0, 4.0)];
    ui.painter().add(egui::Shape::convex_polygon(head, color, Stroke::NONE));
}
