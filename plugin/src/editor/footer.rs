//! The last line: what should be known, undo and redo, theme, keys.

use egui::{Align, Button, Layout, Rect, RichText, Ui, UiBuilder, WidgetInfo};

use super::action::Action;
use super::desk::Desk;
use super::memory::{Aside, Theme};
use super::model::Place;
use super::notices::{color, word};
use super::paper::{caption, cell};
use super::style::SMALL;

/// Height of the last line.
pub const HEIGHT: f32 = 24.0;

/// The last line.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let layout = Layout::right_to_left(Align::Center);
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    buttons(&mut child, desk);
    let left = child.min_rect().left() - 12.0;
    let line = rect.with_max_x(left.max(rect.left()));
    let running = if desk.model.running.is_empty() || line.width() < 420.0 { 0.0 } else { 170.0 };
    cell(ui, line.with_min_x(line.right() - running), caption(&desk.model.running, desk.palette), Align::Max);
    notice(ui, line.with_max_x(line.right() - running - 8.0), desk);
}

fn buttons(ui: &mut Ui, desk: &mut Desk) {
    if button(ui, "keys", "what the keys do", "What the keys do: key ?") {
        desk.memory.toggle(Aside::Keys);
    }
    let (text, other) = match desk.memory.theme {
        Theme::Light => ("dark", Theme::Dark),
        Theme::Dark => ("light", Theme::Light),
    };
    if button(ui, text, "change theme", "Light like workshop paper, or dark for a dark room.") {
        desk.memory.theme = other;
    }
    for (what, text, action, keys) in
        [(&desk.model.redo, "redo", Action::Redo, "Ctrl+Y"), (&desk.model.undo, "undo", Action::Undo, "Ctrl+Z")]
    {
        let tip = format!("{} ({keys})", what.as_deref().unwrap_or("nothing"));
        let color = if what.is_some() { desk.palette.ink } else { desk.palette.faint };
        let response = ui.add_enabled(what.is_some(), Button::new(RichText::new(text).color(color)));
        response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Button, what.is_some(), text));
        if response.on_hover_text(&tip).on_disabled_hover_text(&tip).clicked() {
            desk.act(action);
        }
    }
}

fn button(ui: &mut Ui, text: &str, name: &str, tip: &str) -> bool {
    let response = ui.add(Button::new(text)).on_hover_text(tip);
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Button, true, name));
    response.clicked()
}

/// The worst notice that has no place of its own on the screen, and how many more there are.
fn notice(ui: &mut Ui, rect: Rect, desk: &Desk) {
    let mut here = desk
        .model
        .notices
        .iter()
        .filter(|notice| matches!(notice.place, Place::Take | Place::Session | Place::Recorded));
    let Some(first) = here.next() else { return };
    let others = here.count();
    let more = if others > 0 { format!("  (and {others} more)") } else { String::new() };
    let mend = if first.mend.is_empty() { String::new() } else { format!("; {}", first.mend) };
    let text = format!("{}: {}{mend}{more}", word(first.severity), first.what);
    let text = RichText::new(text).size(SMALL).color(color(first.severity, desk.palette));
    let all = desk.model.notices.iter().map(|notice| format!("{}: {}", word(notice.severity), notice.what));
    cell(ui, rect, text, Align::Min).on_hover_text(all.collect::<Vec<_>>().join("\n"));
}
