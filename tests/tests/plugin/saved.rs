use std::sync::Arc;

use dryfit_dsp::document::Library;
use dryfit_plugin::compile::Desk;
use dryfit_plugin::editor::{Aside, Memory, Theme};
use dryfit_plugin::params::Parameters;
use dryfit_plugin::session::{Bench, FORMAT, Project, TrayPart, Unreadable};
use nih_plug::params::Params;
use proptest::prelude::*;

fn project() -> Project {
    let library = Library::presets();
    let project = Project::first_run(&library).with_wiring(Bench::B, "five-way-outer-pair+treble-bleed", &library);
    let project = project.unwrap().with_value(Bench::B, "bleed-cap", "680p").unwrap();
    project.with_tray_part(Bench::B, TrayPart::Part("bleed-cap".into())).unwrap()
}

#[test]
fn a_project_comes_back_from_its_text_as_it_was() {
    let project = project();
    assert_eq!(Project::from_text(&project.to_text()), Ok(project));
}

/// Theme, what is drawn and the bench in front are kept; what is half-typed is not.
#[test]
fn what_the_screen_is_set_to_is_saved_and_a_state_without_it_loads() {
    let parameters = || Parameters::new(&Arc::new(Desk::new(project())));
    let (one, other) = (parameters(), parameters());
    let memory = Memory { theme: Theme::Dark, bands: true, aside: Some(Aside::Keys), ..Memory::default() };
    *one.screen.write().unwrap() = memory.kept();
    let mut fields = one.serialize_fields();
    other.deserialize_fields(&fields);
    let kept = Memory { theme: Theme::Dark, bands: true, ..Memory::default() };
    assert_eq!(*other.screen.read().unwrap(), kept);
    let blind = Memory { aside: Some(Aside::Blind), ..Memory::default() };
    assert_eq!(blind.keeping(&kept), Memory { aside: Some(Aside::Blind), ..kept.clone() }, "what is open stays open");
    fields.insert("screen".into(), "no screen".into());
    other.deserialize_fields(&fields);
    assert_eq!(*other.screen.read().unwrap(), kept, "a broken one changes nothing");
    fields.remove("screen");
    other.deserialize_fields(&fields);
    assert_eq!(*other.screen.read().unwrap(), kept);
}

#[test]
fn a_newer_form_is_told_from_a_broken_one() {
    let newer = project().to_text().replacen(&format!("\"format\":{FORMAT}"), "\"format\":7", 1);
    assert_eq!(Project::from_text(&newer), Err(Unreadable::Newer { format: 7 }));
    let said = Unreadable::Newer { format: 7 }.to_string();
    assert!(said.contains("newer") && said.contains("kept"), "{said}");
    assert!(matches!(Project::from_text("{}"), Err(Unreadable::Broken { .. })));
}

#[test]
fn what_cannot_be_read_is_saved_again_as_it_is_until_something_is_edited() {
    let desk = Desk::new(project());
    for text in ["", "not JSON", "{\"format\": 12, \"wiring\": \"mine\"}", "{\"format\":1}", "\u{feff}"] {
        desk.restore(text);
        assert_eq!(desk.save(), text);
        assert!(desk.kept().is_some());
        assert_eq!(*desk.project(), project());
    }
    desk.edit(project().swapped().unwrap());
    assert!(desk.kept().is_none());
    assert_eq!(Project::from_text(&desk.save()), Ok(project().swapped().unwrap()));
}

#[test]
fn controls_that_were_written_out_of_range_come_back_in_range() {
    let mut wild = project();
    wild.recorded.controls.knobs = [99.0; 6];
    wild.recorded.controls.load.cable = -1.0;
    wild.recorded.controls.position = 0;
    let tamed = Project::from_text(&wild.to_text()).unwrap().recorded.controls;
    assert_eq!((tamed.knobs, tamed.position, tamed.load.cable), ([10.0; 6], 1, 500e-12));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Bytes lost or changed anywhere: an answer, never a panic.
    #[test]
    fn damaged_texts_are_answered(at in 0usize..20_000, with in ".{0,3}", cut in any::<bool>()) {
        let text = project().to_text();
        let at = text.floor_char_boundary(at % text.len());
        let rest = text[at..].chars().next().map_or(0, char::len_utf8);
        let damaged = if cut { text[..at].to_string() } else { format!("{}{with}{}", &text[..at], &text[at + rest..]) };
        let _ = Project::from_text(&damaged);
    }
}
