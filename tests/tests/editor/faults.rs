//! The fault finder: readings are typed, what they say is told.

use dryfit_plugin::editor::*;
use egui::Key;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, measured, view};
use super::stage::{click, did, named, stage, wide};

#[test]
fn readings_are_typed_and_confirmed_with_enter() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "find a fault on bench B"), []);
    named(&harness, "meter readings of bench B").click();
    harness.run();
    named(&harness, "meter readings of bench B").type_text("1=6.2k,2=open");
    harness.run();
    harness.key_press(Key::Enter);
    let typed = Action::Type(Field::Readings(BenchId::B), "1=6.2k,2=open".into());
    assert_eq!(did(&mut harness), [typed]);
}

#[test]
fn what_explains_them_is_told_and_can_be_asked_again() {
    let memory = Memory { aside: Some(Aside::Faults(BenchId::A)), ..Memory::default() };
    let mut harness = stage(measured(), memory, OPENS_AT);
    harness.run();
    let faults = harness.state().model.benches[0].faults.clone();
    let DiagnosisView::Done { finding, .. } = &faults.diagnosis else { panic!("it was diagnosed") };
    assert!(harness.query_by_label(&finding.verdict).is_some());
    for fault in &finding.suspicions[0].faults {
        assert!(harness.query_by_label(&format!("\u{2013} {fault}")).is_some(), "{fault}");
    }
    for test in &finding.suspicions[0].tests {
        assert!(harness.query_all_by_label(&format!("test: {test}")).next().is_some(), "{test}");
    }
    let again = Action::Type(Field::Readings(BenchId::A), faults.typed.clone());
    assert_eq!(click(&mut harness, "find the fault"), [again]);
}
