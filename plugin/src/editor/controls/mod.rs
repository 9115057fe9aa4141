//! The controls as a line drawing: selector, knobs, switches, and what the jack drives.

mod dial;
mod grab;
mod knob;
mod selector;
mod switch;

use egui::{Align, Rect, Ui, pos2, vec2};

use super::desk::Desk;
use super::model::{Control, ControlKind};
use super::paper::{caption, cell, split_left, split_top};

/// Height of the selector, knobs and switches.
pub const DRAWING_HEIGHT: f32 = 116.0;
/// Height of a line of dials.
pub const DIAL_HEIGHT: f32 = 24.0;

/// The shared controls.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (head, rest) = split_top(rect, 18.0, 2.0);
    cell(ui, head, caption("controls, shared by A and B", desk.palette), Align::Min);
    cell(ui, head, caption("double-click for 10", desk.palette), Align::Max);
    let controls = &desk.model.controls;
    board(ui, rest, desk, controls);
}

/// Any set of controls: those that are grabbed in a row, dials in a line below.
pub fn board(ui: &mut Ui, rect: Rect, desk: &mut Desk, controls: &[Control]) {
    let (grabbed, dials): (Vec<_>, Vec<_>) = controls.iter().partition(|control| control.kind != ControlKind::Dial);
    let (drawing, line) = split_top(rect, DRAWING_HEIGHT, 8.0);
    row(ui, drawing, desk, &grabbed);
    let width = (line.width() + 12.0) / dials.len().max(1) as f32;
    for (index, control) in dials.into_iter().enumerate() {
        let left = line.left() + index as f32 * width;
        let place = Rect::from_min_size(pos2(left, line.top()), vec2(width - 12.0, DIAL_HEIGHT));
        dial::dial(ui, place, desk, control);
    }
}

fn row(ui: &mut Ui, rect: Rect, desk: &mut Desk, controls: &[&Control]) {
    let shares: f32 = controls.iter().map(|control| share(&control.kind)).sum();
    let unit = (rect.width() / shares.max(1.0)).min(104.0);
    let indent = (rect.width() - unit * shares) / 2.0;
    let mut rest = rect.with_min_x(rect.left() + indent.max(0.0));
    for control in controls {
        let place;
        (place, rest) = split_left(rest, unit * share(&control.kind), 0.0);
        let place = place.shrink2(vec2(3.0, 0.0));
        match &control.kind {
            ControlKind::Selector(sounds) => selector::selector(ui, place, desk, control, sounds),
            ControlKind::Switch(names) => switch::switch(ui, place, desk, control, names),
            ControlKind::Knob | ControlKind::Dial => knob::knob(ui, place, desk, control),
        }
    }
}

/// How much of a row's width a control takes; a knob takes 1.
fn share(kind: &ControlKind) -> f32 {
    match kind {
        ControlKind::Selector(_) => 2.2,
        ControlKind::Switch(_) => 0.9,
        ControlKind::Knob | ControlKind::Dial => 1.0,
    }
}
