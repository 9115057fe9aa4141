//! Keys that work wherever the pointer is.

use egui::{Event, Key, Modifiers, Ui};

use super::action::{Action, ControlId};
use super::desk::Desk;
use super::memory::Aside;
use super::model::{ControlKind, Listen};

/// What the keys do, for the aside that tells it.
pub const KEYS: [(&str, &str); 12] = [
    ("D, A, B", "listen to the dry take, bench A, bench B"),
    ("X", "listen to X, in a blind comparison"),
    ("1 to 9", "selector position"),
    ("[ and ]", "previous and next value in the parts tray"),
    ("L", "loudness match on or off"),
    ("Tab", "to the next control"),
    ("arrow keys", "turn the control that has the keyboard; with shift a tenth as far"),
    ("Home, End", "turn it to 0 or to 10"),
    ("Enter, Esc", "confirm what was typed, or leave it as it was"),
    ("Ctrl+Z", "undo"),
    ("Ctrl+Y", "redo; also Ctrl+Shift+Z"),
    ("?", "this list; Esc closes it"),
];

/// Acts on the keys, unless text is being typed.
pub fn listen(ui: &Ui, desk: &mut Desk) {
    if ui.ctx().text_edit_focused() {
        return;
    }
    if pressed(ui, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z) || pressed(ui, Modifiers::COMMAND, Key::Y) {
        desk.act(Action::Redo);
    } else if pressed(ui, Modifiers::COMMAND, Key::Z) {
        desk.act(Action::Undo);
    }
    ears(ui, desk);
    position(ui, desk);
    tray(ui, desk);
    if struck(ui, Key::L, "l") {
        desk.act(Action::MatchLoudness(!desk.model.loudness.on));
    }
    if ui.input(|input| input.key_pressed(Key::Questionmark)) || struck(ui, Key::Questionmark, "?") {
        desk.memory.toggle(Aside::Keys);
    }
    if desk.memory.aside.is_some() && pressed(ui, Modifiers::NONE, Key::Escape) {
        desk.memory.aside = None;
    }
}

fn pressed(ui: &Ui, modifiers: Modifiers, key: Key) -> bool {
    ui.input_mut(|input| input.consume_key(modifiers, key))
}

/// Whether a sign was struck. Where the window names no key for it (brackets, and letters under caps lock), it tells the text.
fn struck(ui: &Ui, key: Key, sign: &str) -> bool {
    let typed = |event: &Event| matches!(event, Event::Text(text) if text.eq_ignore_ascii_case(sign));
    pressed(ui, Modifiers::NONE, key) || ui.input(|input| input.events.iter().any(typed))
}

fn ears(ui: &Ui, desk: &mut Desk) {
    let keys =
        [(Key::D, "d", Listen::Dry), (Key::A, "a", Listen::A), (Key::B, "b", Listen::B), (Key::X, "x", Listen::X)];
    for (key, sign, listen) in keys {
        let offered = if desk.model.is_blind() { listen != Listen::Dry } else { listen != Listen::X };
        if offered && struck(ui, key, sign) {
            desk.act(Action::Listen(listen));
        }
    }
}

fn position(ui: &Ui, desk: &mut Desk) {
    let digits = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    let positions = desk.model.controls.iter().find_map(|control| match &control.kind {
        ControlKind::Selector(sounds) => Some(sounds.len()),
        _ => None,
    });
    for (index, key) in digits.into_iter().take(positions.unwrap_or(0)).enumerate() {
        if pressed(ui, Modifiers::NONE, key) {
            desk.put(ControlId::Selector, (index + 1) as f64);
        }
    }
}

fn tray(ui: &Ui, desk: &mut Desk) {
    let tray = &desk.model.tray;
    if tray.values.is_empty() {
        return;
    }
    if struck(ui, Key::OpenBracket, "[") {
        desk.put(ControlId::TrayStep, tray.previous());
    }
    if struck(ui, Key::CloseBracket, "]") {
        desk.put(ControlId::TrayStep, tray.next());
    }
}
