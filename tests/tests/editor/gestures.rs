//! Controls are dragged, wheeled, stepped by keys and by assistive tools.

use dryfit_plugin::editor::*;
use egui::{Modifiers, vec2};

use super::fixtures::{CAPACITORS, SERIES, view};
use super::stage::{at, click, did, named, put, wide};

#[test]
fn a_knob_is_dragged_in_one_gesture_that_adds_up_though_the_host_never_echoes() {
    let mut harness = wide(view(&CAPACITORS));
    let knob = at(&harness, "volume");
    harness.drag_at(knob);
    harness.run();
    for step in 1..=5 {
        harness.hover_at(knob + vec2(0.0, 20.0 * step as f32));
        harness.run();
    }
    harness.drop_at(knob + vec2(0.0, 100.0));
    let actions = did(&mut harness);
    let volume = ControlId::Knob(0);
    assert_eq!(actions.first(), Some(&Action::Begin(volume)));
    assert_eq!(actions.last(), Some(&Action::End(volume)));
    let values: Vec<f64> = actions
        .iter()
        .filter_map(|action| if let Action::Set(_, value) = action { Some(*value) } else { None })
        .collect();
    assert!(values.windows(2).all(|pair| pair[1] < pair[0]), "down turns it down: {values:?}");
    // 200 points for the whole travel, so 100 points for half of it.
    assert!((values.last().expect("it moved") - 5.0).abs() < 0.01, "{values:?}");
    assert_eq!(actions.len(), values.len() + 2, "{actions:?}");
}

#[test]
fn the_wheel_and_the_arrow_keys_turn_a_knob_by_half_and_with_shift_by_a_twentieth() {
    let mut harness = wide(view(&CAPACITORS));
    let volume = ControlId::Knob(0);
    harness.hover_at(at(&harness, "volume"));
    harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Line,
        source: egui::MouseWheelSource::Wheel,
        delta: vec2(0.0, -1.0),
        phase: egui::TouchPhase::Move,
        modifiers: Modifiers::NONE,
    });
    assert_eq!(did(&mut harness), put(volume, 9.5));
    named(&harness, "volume").focus();
    harness.run();
    harness.key_press(egui::Key::ArrowDown);
    assert_eq!(did(&mut harness), put(volume, 9.5));
    harness.key_press_modifiers(Modifiers::SHIFT, egui::Key::ArrowLeft);
    assert_eq!(did(&mut harness), put(volume, 9.95));
    harness.key_press(egui::Key::Home);
    assert_eq!(did(&mut harness), put(volume, 0.0));
    assert!(named(&harness, "volume").is_focused(), "arrow keys turn it and do not lead away from it");
}

#[test]
fn a_double_click_puts_a_knob_on_10() {
    let mut harness = wide(view(&CAPACITORS));
    let tone = at(&harness, "tone");
    for pressed in [true, false, true, false] {
        harness.event(egui::Event::PointerMoved(tone));
        harness.event(egui::Event::PointerButton {
            pos: tone,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        harness.step();
    }
    assert_eq!(did(&mut harness), put(ControlId::Knob(1), 10.0));
}

#[test]
fn assistive_tools_read_a_knob_and_turn_it() {
    let mut harness = wide(view(&CAPACITORS));
    let knob = named(&harness, "tone");
    assert_eq!(knob.value().as_deref(), Some("0"));
    knob.increment_accesskit();
    assert_eq!(did(&mut harness), put(ControlId::Knob(1), 0.5));
    named(&harness, "tone").set_value_accesskit(7.0);
    assert_eq!(did(&mut harness), put(ControlId::Knob(1), 7.0));
}

#[test]
fn a_switch_is_thrown_by_a_click_and_the_selector_by_a_click_on_its_slot() {
    let mut harness = wide(view(&SERIES));
    let switch =
        harness.state().model.controls.iter().find(|control| matches!(control.id, ControlId::Switch(0))).cloned();
    let switch = switch.expect("this wiring has a switch");
    assert_eq!(click(&mut harness, &switch.label), put(ControlId::Switch(0), 2.0));
    let slot = named(&harness, "selector").rect();
    let five = egui::pos2(slot.right() - 20.0, slot.bottom() - 58.0);
    harness.drag_at(five);
    harness.step();
    harness.drop_at(five);
    assert_eq!(did(&mut harness), put(ControlId::Selector, 5.0));
}
