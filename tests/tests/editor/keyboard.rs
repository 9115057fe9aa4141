//! The keys.

use dryfit_plugin::editor::*;
use egui::{Key, Modifiers};

use super::fixtures::{CAPACITORS, view};
use super::stage::{named, put, stage};

fn after(model: ViewModel, modifiers: Modifiers, key: Key) -> Vec<Action> {
    let mut harness = stage(model, Memory::default(), OPENS_AT);
    harness.run();
    harness.key_press_modifiers(modifiers, key);
    harness.run();
    harness.into_state().actions
}

#[test]
fn one_key_each_for_dry_a_and_b() {
    let press = |key| after(view(&CAPACITORS), Modifiers::NONE, key);
    assert_eq!(press(Key::D), [Action::Listen(Listen::Dry)]);
    assert_eq!(press(Key::A), [Action::Listen(Listen::A)]);
    assert_eq!(press(Key::B), [Action::Listen(Listen::B)]);
    assert_eq!(press(Key::X), [], "X is for blind comparisons");
}

#[test]
fn keys_move_the_selector_step_the_tray_match_loudness_and_undo() {
    let press = |key| after(view(&CAPACITORS), Modifiers::NONE, key);
    assert_eq!(press(Key::Num3), put(ControlId::Selector, 3.0));
    assert_eq!(press(Key::Num6), [], "there are five positions");
    assert_eq!(press(Key::OpenBracket), put(ControlId::TrayStep, 0.0));
    assert_eq!(press(Key::CloseBracket), put(ControlId::TrayStep, 2.0));
    assert_eq!(press(Key::L), [Action::MatchLoudness(false)]);
    let undo = |modifiers| after(view(&CAPACITORS), modifiers, Key::Z);
    assert_eq!(undo(Modifiers::COMMAND), [Action::Undo]);
    assert_eq!(undo(Modifiers::COMMAND | Modifiers::SHIFT), [Action::Redo]);
}

/// A plug-in's window tells of a bracket, or of a letter under caps lock, as text alone.
#[test]
fn a_sign_that_comes_as_text_is_a_key_too() {
    let typed = |text: &str| {
        let mut harness = stage(view(&CAPACITORS), Memory::default(), OPENS_AT);
        harness.run();
        harness.event(egui::Event::Text(text.into()));
        harness.run();
        harness.into_state()
    };
    assert_eq!(typed("[").actions, put(ControlId::TrayStep, 0.0));
    assert_eq!(typed("]").actions, put(ControlId::TrayStep, 2.0));
    assert_eq!(typed("B").actions, [Action::Listen(Listen::B)]);
    assert_eq!(typed("?").memory.aside, Some(Aside::Keys));
}

/// From what is heard through every control, the tray and both benches, and round to the start again.
#[test]
fn the_tab_key_reaches_every_control() {
    let mut harness = stage(view(&CAPACITORS), Memory::default(), OPENS_AT);
    harness.run();
    let wanted = [
        "as recorded",
        "listen to the dry take",
        "loudness match",
        "selector",
        "volume",
        "tone value",
        "cable",
        "part in the tray",
        "values in the tray",
        "wiring of bench A",
        "tone capacitor of bench A",
        "position 5 of bench A",
        "wiring of bench B",
        "position 5 of bench B",
        "what the keys do",
    ];
    let mut reached = Vec::new();
    for _ in 0..140 {
        harness.key_press(Key::Tab);
        harness.run();
        reached.extend(wanted.iter().position(|name| named(&harness, name).is_focused()));
    }
    let mut first_round = reached.clone();
    first_round.truncate(wanted.len());
    assert_eq!(first_round, (0..wanted.len()).collect::<Vec<_>>(), "{reached:?}");
    assert!(harness.state().actions.is_empty(), "moving about changes nothing: {:?}", harness.state().actions);
}

#[test]
fn escape_closes_an_aside() {
    let mut harness = stage(view(&CAPACITORS), Memory { aside: Some(Aside::Keys), ..Memory::default() }, OPENS_AT);
    harness.run();
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(harness.state().memory.aside, None);
}
