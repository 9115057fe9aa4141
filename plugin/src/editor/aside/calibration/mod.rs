//! The guitar, measured and recorded: step by step to a document of it.

mod comb;
mod found;
mod measures;
mod recordings;

use egui::accesskit::Role;
use egui::{Align, Button, Label, Layout, Rect, RichText, Ui, UiBuilder, WidgetInfo};

use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::memory::CalibrationStep;
use crate::editor::paper::{caption, split_left, split_top};

/// The steps; the one that is open; at the foot what there is so far, and the button that makes a guitar of it.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (steps, rest) = split_top(rect, 24.0, 8.0);
    let (body, foot) = split_top(rest, rest.height() - 40.0, 8.0);
    show_steps(ui, steps, desk);
    let mut child = ui.new_child(UiBuilder::new().max_rect(body));
    match desk.memory.calibration.0 {
        CalibrationStep::Measures => measures::show(&mut child, desk),
        CalibrationStep::Recordings => recordings::show(&mut child, desk),
        CalibrationStep::Found => found::show(&mut child, desk),
    }
    show_foot(ui, foot, desk);
}

fn show_steps(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::left_to_right(Align::Center)));
    let steps = [
        (CalibrationStep::Measures, "1  measure", "Ruler, meter and the strings' set."),
        (CalibrationStep::Recordings, "2  record", "Single notes in each position of the selector."),
        (CalibrationStep::Found, "3  look", "What the recordings say, and how sure that is."),
    ];
    for (step, text, tip) in steps {
        let open = desk.memory.calibration.0 == step;
        if child.add(Button::selectable(open, text).frame_when_inactive(true)).on_hover_text(tip).clicked() {
            desk.memory.calibration.0 = step;
        }
    }
}

fn show_foot(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (words, button) = split_left(rect, rect.width() - 130.0, 8.0);
    let view = &desk.model.calibration;
    let mut child = ui.new_child(UiBuilder::new().max_rect(words).layout(Layout::left_to_right(Align::Center)));
    child.add(Label::new(caption(&view.measured, desk.palette)).wrap());
    let tip = if view.ready {
        "Puts what was measured and found into the guitar's document, each figure with a note of where it is from. Undo takes \
         it back."
    } else {
        "Measure something first, or record and look."
    };
    let place = split_top(button, 26.0, 0.0).0;
    if wide_button(ui, place, desk, ["use this guitar"; 2], tip, view.ready) {
        desk.act(Action::UseCalibrated);
    }
}

/// A button as wide as its place, with its text and its name for assistive tools; faint while it does nothing.
fn wide_button(ui: &mut Ui, rect: Rect, desk: &Desk, [text, name]: [&str; 2], tip: &str, enabled: bool) -> bool {
    let ink = if enabled { desk.palette.ink } else { desk.palette.faint };
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(Layout::top_down_justified(Align::Center)));
    let button = Button::new(RichText::new(text).color(ink)).min_size(rect.size());
    let response = child.add_enabled(enabled, button);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, enabled, name));
    response.on_hover_text(tip).on_disabled_hover_text(tip).clicked()
}
