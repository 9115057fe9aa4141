//! The guitar, measured and recorded: what is typed, what is pressed, what is told.

use dryfit_plugin::editor::*;
use egui::Key;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, calibrated, measuring, misfits, view};
use super::stage::{Stage, click, did, named, stage, wide};

fn open(model: ViewModel, step: CalibrationStep) -> egui_kittest::Harness<'static, Stage> {
    let memory = Memory { aside: Some(Aside::Calibration), calibration: (step, 0), ..Memory::default() };
    let mut harness = stage(model, memory, OPENS_AT);
    harness.run();
    harness
}

#[test]
fn it_opens_from_the_guitar_and_figures_are_typed_and_confirmed_with_enter() {
    let mut harness = wide(view(&CAPACITORS));
    harness.state_mut().memory.aside = Some(Aside::Recorded);
    harness.run();
    assert_eq!(click(&mut harness, "open …"), [Action::OpenDocument(DocumentId::Guitar)]);
    assert_eq!(click(&mut harness, "save …"), [Action::SaveDocument(DocumentId::Guitar)]);
    assert_eq!(click(&mut harness, "measure it …"), []);
    assert_eq!(harness.state().memory.aside, Some(Aside::Calibration));
    let name = "distance under the low string of the neck pickup";
    named(&harness, name).click();
    harness.run();
    named(&harness, name).type_text("158 mm");
    harness.run();
    harness.key_press(Key::Enter);
    let measure = Measure::Distance { pickup: "neck".into(), low: true };
    assert_eq!(did(&mut harness), [Action::Type(Field::Measure(measure), "158 mm".into())]);
}

#[test]
fn why_a_figure_was_refused_stands_below_it_and_nothing_is_used_before_anything_is_measured() {
    let harness = open(measuring(), CalibrationStep::Measures);
    assert!(harness.state().model.refusals.len() >= 3);
    for refusal in &harness.state().model.refusals {
        assert!(harness.query_by_label(&refusal.why).is_some(), "{}", refusal.why);
    }
    let mut harness = open(view(&CAPACITORS), CalibrationStep::Measures);
    assert_eq!(click(&mut harness, "use this guitar"), []);
}

#[test]
fn positions_are_recorded_stopped_and_listened_to() {
    let mut harness = open(view(&CAPACITORS), CalibrationStep::Recordings);
    assert_eq!(click(&mut harness, "listen to them"), [], "nothing was recorded");
    assert_eq!(click(&mut harness, "record position 2"), [Action::RecordPass(2)]);
    assert_eq!(click(&mut harness, "open a recording of position 2"), [Action::OpenPass(2)]);
    let mut harness = open(calibrated(), CalibrationStep::Recordings);
    assert_eq!(click(&mut harness, "record position 4"), [], "one at a time");
    assert_eq!(click(&mut harness, "stop recording position 3"), [Action::StopRecording]);
    assert_eq!(click(&mut harness, "listen to them"), [Action::Calibrate]);
    assert_eq!(harness.state().memory.calibration.0, CalibrationStep::Found);
    harness.state_mut().model.calibration.listening = ListeningView::Running;
    harness.run();
    assert_eq!(click(&mut harness, "give up"), [Action::GiveUpCalibrating]);
}

#[test]
fn what_was_found_is_told_figure_by_figure_with_its_comb_and_can_be_used() {
    let mut harness = open(calibrated(), CalibrationStep::Found);
    let ListeningView::Done(found) = harness.state().model.calibration.listening.clone() else {
        panic!("it was found")
    };
    assert!(harness.query_by_label(&found.verdict).is_some());
    let figure = &found.figures[0];
    assert!(harness.query_all_by_label(&figure.what).next().is_some(), "{figure:?}");
    assert!(harness.query_by_label(&format!("comb of {}", found.combs[0].name)).is_some());
    assert_eq!(click(&mut harness, "next comb"), []);
    assert!(harness.query_by_label(&format!("comb of {}", found.combs[1].name)).is_some());
    assert_eq!(click(&mut harness, "use this guitar"), [Action::UseCalibrated]);
}

#[test]
fn what_does_not_fit_is_told_with_what_would_mend_it() {
    let harness = open(misfits(), CalibrationStep::Found);
    let ListeningView::Done(found) = harness.state().model.calibration.listening.clone() else {
        panic!("it was tried")
    };
    assert!(found.complaints.len() >= 2);
    for complaint in &found.complaints {
        assert!(harness.query_by_label(complaint).is_some(), "{complaint}");
    }
}
