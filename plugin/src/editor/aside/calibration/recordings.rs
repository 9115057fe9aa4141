//! Recordings: one per position of the selector, from what comes in or from a file.

use egui::{Align, Label, RichText, ScrollArea, Sense, Ui, vec2};

use super::wide_button;
use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::memory::CalibrationStep;
use crate::editor::model::{ListeningView, PassState, PassView};
use crate::editor::paper::{caption, cell, heading, split_left};
use crate::editor::style::ROW;

/// Width of a button beside a position.
const BUTTON: f32 = 76.0;

/// How to play; the positions; the button that has them listened to.
pub fn show(ui: &mut Ui, desk: &mut Desk) {
    ScrollArea::vertical().id_salt("recordings").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        let how = "Plug the guitar in, all knobs on 10, one gain for all. In each position play every open string, then frets 5, \
                   7 and 12 of each, one note at a time, in any order; let each ring for a second. A recording that plays on the \
                   track, or a file of each, will do as well. The positions are those of the wiring as recorded.";
        ui.add(Label::new(caption(how, desk.palette)).wrap());
        heading(ui, "positions of the selector; length and peak of each recording", desk.palette);
        let busy = desk.model.calibration.passes.iter().any(|pass| matches!(pass.state, PassState::Recording(_)));
        for pass in &desk.model.calibration.passes {
            show_pass(ui, desk, pass, busy);
        }
        ui.add_space(6.0);
        ask(ui, desk);
    });
}

fn show_pass(ui: &mut Ui, desk: &mut Desk, pass: &PassView, busy: bool) {
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let row = row.shrink2(vec2(4.0, 0.0));
    let width = 2.0 * BUTTON + 6.0;
    // Where it is narrow, the buttons have a line of their own: a file's name is worth more than the height.
    let (row, buttons) = if row.width() < 420.0 {
        let (below, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
        (row, split_left(below, below.width() - width - 4.0, 0.0).1)
    } else {
        split_left(row, row.width() - width - 6.0, 6.0)
    };
    let (name, words) = split_left(row, (row.width() * 0.42).min(190.0), 6.0);
    let (record, open) = split_left(buttons, BUTTON, 6.0);
    cell(ui, name, RichText::new(&pass.name), Align::Min);
    let (said, strong) = match &pass.state {
        PassState::Missing => ("not recorded".to_string(), false),
        PassState::Recording(so_far) => (so_far.clone(), true),
        PassState::Recorded(made) => (made.clone(), true),
    };
    let text = if strong { RichText::new(said) } else { caption(said, desk.palette) };
    cell(ui, words, text, Align::Min);
    let position = pass.position;
    let (text, name, action) = match pass.state {
        PassState::Missing => ("record", format!("record position {position}"), Action::RecordPass(position)),
        PassState::Recording(_) => ("stop", format!("stop recording position {position}"), Action::StopRecording),
        PassState::Recorded(_) => ("again", format!("record position {position} again"), Action::RecordPass(position)),
    };
    let enabled = !busy || matches!(pass.state, PassState::Recording(_));
    let tip = if enabled { "Takes what comes into the plug-in from now on." } else { "One at a time." };
    if wide_button(ui, record.shrink2(vec2(0.0, 1.0)), desk, [text, &name], tip, enabled) {
        desk.act(action);
    }
    let name = format!("open a recording of position {position}");
    let tip =
        "Opens what was recorded in this position: a WAV, AIFF or FLAC file, of which the guitar's channel is taken.";
    if wide_button(ui, open.shrink2(vec2(0.0, 1.0)), desk, ["open …", &name], tip, true) {
        desk.act(Action::OpenPass(position));
    }
}

/// The button that has the recordings listened to, or ends that.
fn ask(ui: &mut Ui, desk: &mut Desk) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::hover());
    let (button, rest) = split_left(rect, 150.0, 8.0);
    if desk.model.calibration.listening == ListeningView::Running {
        if wide_button(ui, button, desk, ["give up"; 2], "Ends listening; what was found before stays.", true) {
            desk.act(Action::GiveUpCalibrating);
        }
        cell(ui, rest, caption("listening to every note \u{2026}", desk.palette), Align::Min);
        return;
    }
    let ready = desk.model.calibration.passes.iter().any(|pass| matches!(pass.state, PassState::Recorded(_)));
    let tip =
        "Finds tuning, stiffness, distances, levels and voicings from the recordings. The sound is not touched by it.";
    if wide_button(ui, button, desk, ["listen to them"; 2], tip, ready) {
        desk.act(Action::Calibrate);
        desk.memory.calibration.0 = CalibrationStep::Found;
    }
}
