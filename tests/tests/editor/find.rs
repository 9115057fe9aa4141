//! From the sounds that are wanted to a wiring: the table is typed, the selector chosen, the search begun and given up.

use dryfit_plugin::editor::*;
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, found, impossible, view};
use super::stage::{Stage, click, did, named, stage, wide};

fn open(find: FindView) -> Harness<'static, Stage> {
    let memory = Memory { aside: Some(Aside::Find), ..Memory::default() };
    let mut harness = stage(ViewModel { find, ..view(&CAPACITORS) }, memory, OPENS_AT);
    harness.run();
    harness
}

#[test]
fn it_opens_from_either_bench_and_the_table_is_typed_there() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "find a wiring, from bench B"), []);
    named(&harness, "sounds table").focus();
    harness.run();
    named(&harness, "sounds table").type_text("# mine ");
    let edited = did(&mut harness);
    assert!(
        matches!(&edited[..], [Action::EditDocument { document: DocumentId::Sounds, text }] if text.contains("# mine ")),
        "{edited:?}"
    );
    assert_eq!(click(&mut harness, "paste"), [Action::PasteDocument(DocumentId::Sounds)]);
    assert_eq!(click(&mut harness, "save …"), [Action::SaveDocument(DocumentId::Sounds)]);
}

#[test]
fn tables_to_begin_with_and_the_selector_are_chosen_from_lists() {
    let mut harness = open(view(&CAPACITORS).find);
    assert_eq!(click(&mut harness, "as bench A"), [Action::SoundsOfBench(BenchId::A)]);
    click(&mut harness, "sounds to begin with");
    let chosen = click(&mut harness, "Two pickups, three positions");
    assert_eq!(chosen, [Action::ChooseSounds("two-pickups".into())]);
    click(&mut harness, "selector to be wired");
    let title = |harness: &Harness<'static, Stage>, name: &str| {
        let choices = &harness.state().model.choices.selectors;
        choices.iter().find(|choice| choice.name == name).expect("a preset").title.clone()
    };
    let two_poles = title(&harness, "lever-2-pole-5-position");
    let chosen = click(&mut harness, &two_poles);
    assert_eq!(chosen, [Action::ChooseSwitch(Some("lever-2-pole-5-position".into()))]);
    assert!(!harness.state().model.choices.selectors.iter().any(|choice| choice.name == "push-pull"), "no selector");
}

#[test]
fn the_search_begins_by_mouse_and_by_keyboard_and_not_while_something_is_wrong() {
    let find = view(&CAPACITORS).find;
    let mut harness = open(find.clone());
    assert_eq!(click(&mut harness, "find a wiring"), [Action::Find]);
    named(&harness, "find a wiring").focus();
    harness.run();
    harness.key_press(Key::Enter);
    assert_eq!(did(&mut harness), [Action::Find]);
    let mut harness = open(FindView { ready: false, ..find });
    assert_eq!(click(&mut harness, "find a wiring"), []);
}

#[test]
fn while_it_goes_on_it_says_how_far_it_is_and_can_be_given_up() {
    let search = Search::Running("trying 9 wires, 1024 cases ruled out".into());
    let mut harness = open(FindView { search, ..view(&CAPACITORS).find });
    assert!(harness.query_by_label("trying 9 wires, 1024 cases ruled out").is_some());
    assert!(harness.query_by_label("find a wiring").is_none());
    assert_eq!(click(&mut harness, "give up"), [Action::GiveUpFinding]);
}

#[test]
fn what_was_found_is_put_on_a_bench() {
    for find in [found(), impossible()] {
        let mut harness = open(find);
        assert_eq!(click(&mut harness, "put it on bench B"), [Action::PutFound(BenchId::B)]);
    }
    let mut find = found();
    let Search::Done(words) = &mut find.search else { panic!("it is done") };
    words.wiring = false;
    let harness = open(find);
    assert!(harness.query_by_label("put it on bench A").is_none());
}
