//! The sounds table that is read off a bench.

use dryfit_dsp::document::{Library, Sounds};
use dryfit_plugin::editor::*;
use egui::Key;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, SERIES, view};
use super::stage::{click, did, named, put, stage, wide};

fn open(scene: &super::fixtures::Scene) -> egui_kittest::Harness<'static, super::stage::Stage> {
    let memory = Memory { aside: Some(Aside::Sounds(BenchId::A)), ..Memory::default() };
    let mut harness = stage(view(scene), memory, OPENS_AT);
    harness.run();
    harness
}

#[test]
fn the_table_opens_from_the_positions_and_closes_with_escape() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "sounds of bench B"), []);
    assert_eq!(harness.state().memory.aside, Some(Aside::Sounds(BenchId::B)));
    assert!(harness.query_by_label("blend neck in 1").is_some(), "what the knob does, as a sounds table has it");
    harness.key_press(Key::Escape);
    assert_eq!(did(&mut harness), []);
    assert_eq!(harness.state().memory.aside, None);
}

/// Source: the preset's own table, written by hand: with the switch up, position 5 is neck and bridge in series.
#[test]
fn every_way_in_which_the_switches_stand_is_told_and_can_be_gone_to() {
    let mut harness = open(&SERIES);
    let series = harness.query_all_by_label("bridge in series with neck").count();
    assert_eq!(series, 1);
    let moved = [put(ControlId::Selector, 5.0), put(ControlId::Switch(0), 2.0)].concat();
    assert_eq!(click(&mut harness, "position 5 with series up"), moved);
    let down = [put(ControlId::Selector, 2.0), put(ControlId::Switch(0), 1.0)].concat();
    named(&harness, "position 2 with series down").focus();
    harness.run();
    harness.key_press(Key::Enter);
    assert_eq!(did(&mut harness), down, "by the keyboard, too");
}

#[test]
fn the_table_is_copied_as_a_document_that_find_reads() {
    let mut harness = open(&SERIES);
    named(&harness, "copy as a document").click();
    harness.step();
    let copied = harness.output().platform_output.commands.iter().find_map(|command| match command {
        egui::OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    });
    let copied = Sounds::read("copied", &copied.expect("it was copied")).expect("a document without a mistake");
    let own = Library::presets().sounds(SERIES.wiring).unwrap();
    assert!(copied.positions.iter().zip(&own.positions).all(|(one, other)| one.same_as(other)));
    assert_eq!(copied.settings.len(), own.settings.len());
}
