//! What is typed: values in their fields, a document as text.

use dryfit_plugin::editor::*;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, refused, view};
use super::stage::{Stage, at, click, did, named, stage, wide};

fn type_into(harness: &mut Harness<'static, Stage>, name: &str, text: &str, confirm: egui::Key) -> Vec<Action> {
    named(harness, name).click();
    harness.run();
    named(harness, name).type_text(text);
    harness.run();
    harness.key_press(confirm);
    did(harness)
}

#[test]
fn a_value_is_typed_over_the_old_one_and_confirmed_with_enter() {
    let mut harness = wide(view(&CAPACITORS));
    let typed = type_into(&mut harness, "tone capacitor of bench A", "33n", egui::Key::Enter);
    let field = Field::Part { bench: BenchId::A, part: "tone-cap".into() };
    assert_eq!(typed, [Action::Type(field, "33n".into())]);
    let typed = type_into(&mut harness, "tone value", "7", egui::Key::Enter);
    assert_eq!(typed, [Action::Type(Field::Control(ControlId::Knob(1)), "7".into())]);
    let typed = type_into(&mut harness, "values in the tray", "10n 47n", egui::Key::Enter);
    assert_eq!(typed, [Action::Type(Field::TrayValues, "10n 47n".into())]);
}

#[test]
fn escape_leaves_a_value_as_it_was_and_letters_typed_there_are_no_keys() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(type_into(&mut harness, "volume of bench B", "bad", egui::Key::Escape), []);
    assert_eq!(named(&harness, "volume of bench B").value().as_deref(), Some("250k"));
}

#[test]
fn lots_typed_into_a_value_stays_there_with_the_reason_beside_it() {
    let mut harness = wide(refused());
    assert_eq!(named(&harness, "tone capacitor of bench B").value().as_deref(), Some("lots"));
    let why = harness.state().model.refusals[0].why.clone();
    let (field, reason) = (at(&harness, "tone capacitor of bench B"), harness.get_by_label(&why).rect().center());
    assert!((reason.y - field.y).abs() < 40.0, "{reason:?} is not beside {field:?}");
    let typed = type_into(&mut harness, "tone capacitor of bench B", "22n", egui::Key::Enter);
    let field = Field::Part { bench: BenchId::B, part: "tone-cap".into() };
    assert_eq!(typed, [Action::Type(field, "22n".into())], "the value it had before has to be said again");
}

#[test]
fn a_document_is_edited_pasted_opened_saved_and_copied() {
    let mut harness =
        stage(view(&CAPACITORS), Memory { aside: Some(Aside::Document(BenchId::B)), ..Memory::default() }, OPENS_AT);
    harness.run();
    let document = DocumentId::Bench(BenchId::B);
    assert_eq!(click(&mut harness, "paste"), [Action::PasteDocument(document)]);
    assert_eq!(click(&mut harness, "open …"), [Action::OpenDocument(document)]);
    assert_eq!(click(&mut harness, "save …"), [Action::SaveDocument(document)]);
    named(&harness, "document of bench B").focus();
    harness.run();
    named(&harness, "document of bench B").type_text("# mine ");
    let edited = did(&mut harness);
    assert!(
        matches!(&edited[..], [Action::EditDocument { document: DocumentId::Bench(BenchId::B), text }] if text.contains("# mine ")),
        "{edited:?}"
    );
    named(&harness, "copy").click();
    harness.step();
    let copied = harness.output().platform_output.commands.iter().any(
        |command| matches!(command, egui::OutputCommand::CopyText(text) if text.contains("# mine ") && text.contains("[wires]")),
    );
    assert!(copied, "the whole text, with what was just typed");
}

/// A newer revision from the session (opened, undone) replaces what was being typed.
#[test]
fn a_document_that_changed_elsewhere_replaces_the_draft() {
    let draft = Some((DocumentId::Bench(BenchId::A), 0, "draft".to_owned()));
    let memory = Memory { aside: Some(Aside::Document(BenchId::A)), draft, ..Memory::default() };
    let mut harness = stage(view(&CAPACITORS), memory, OPENS_AT);
    harness.run();
    assert_eq!(named(&harness, "document of bench A").value().as_deref(), Some("draft"));
    let document = &mut harness.state_mut().model.benches[0].document;
    (document.revision, document.text) = (1, "opened".into());
    harness.run();
    assert_eq!(named(&harness, "document of bench A").value().as_deref(), Some("opened"));
}
