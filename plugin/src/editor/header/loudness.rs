//! Loudness match, and the way into the blind comparison.

use egui::{Align, Button, Rect, Ui};

use crate::editor::action::Action;
use crate::editor::desk::Desk;
use crate::editor::memory::Aside;
use crate::editor::model::Listen;
use crate::editor::paper::{caption, cell, split_top};

/// Loudness match with the gain it gives to what is heard; blind comparison.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk) {
    let (toggle, rest) = split_top(rect, 24.0, 1.0);
    let (gain, rest) = split_top(rest, 18.0, 7.0);
    let mut on = desk.model.loudness.on;
    let tip = "Plays dry, A and B equally loud, so that the louder one does not win. Key L.";
    if ui.put(toggle, Button::selectable(on, "loudness match").frame_when_inactive(true)).on_hover_text(tip).clicked() {
        on = !on;
        desk.act(Action::MatchLoudness(on));
    }
    // A gain would tell what X is.
    let text = if desk.model.is_blind() { String::new() } else { gain_text(desk) };
    cell(ui, gain, caption(text, desk.palette), Align::Center);
    let tip = "X is A or B by chance, and you say which: does one hear it at all?";
    let blind =
        Button::selectable(desk.memory.aside == Some(Aside::Blind), "blind comparison").frame_when_inactive(true);
    if ui.put(split_top(rest, 24.0, 0.0).0, blind).on_hover_text(tip).clicked() {
        desk.memory.toggle(Aside::Blind);
    }
}

fn gain_text(desk: &Desk) -> String {
    let loudness = &desk.model.loudness;
    let gain = |listen: Listen| match listen {
        Listen::Dry => &loudness.gains[0],
        Listen::A | Listen::X => &loudness.gains[1],
        Listen::B => &loudness.gains[2],
    };
    match gain(desk.model.listen).as_str() {
        _ if !loudness.on => "off".into(),
        "" => "listening …".into(),
        gain => gain.to_owned(),
    }
}
