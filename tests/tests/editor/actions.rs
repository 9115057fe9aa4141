//! What is clicked by its name does what it says.

use dryfit_plugin::editor::*;
use egui_kittest::kittest::{NodeT, Queryable};

use super::fixtures::{CAPACITORS, SERIES, view};
use super::stage::{click, did, named, put, stage, wide};

#[test]
fn nothing_happens_by_itself() {
    for scene in [&CAPACITORS, &SERIES] {
        let mut harness = wide(view(scene));
        harness.run_steps(5);
        assert_eq!(did(&mut harness), []);
    }
}

#[test]
fn each_button_does_what_its_name_says() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "listen to the dry take"), [Action::Listen(Listen::Dry)]);
    assert_eq!(click(&mut harness, "listen to bench B"), [Action::Listen(Listen::B)]);
    assert_eq!(click(&mut harness, "loudness match"), [Action::MatchLoudness(false)]);
    assert_eq!(click(&mut harness, "copy to B"), [Action::CopyBench { from: BenchId::A }]);
    assert_eq!(click(&mut harness, "undo"), [Action::Undo]);
    assert_eq!(click(&mut harness, "E12"), [Action::ChooseTraySeries(TraySeries::E12)]);
    assert_eq!(click(&mut harness, "68n"), put(ControlId::TrayStep, 4.0));
    assert_eq!(click(&mut harness, "next value"), put(ControlId::TrayStep, 2.0));
    assert_eq!(click(&mut harness, "own"), put(ControlId::TrayStep, Tray::OWN));
    assert_eq!(click(&mut harness, "position 4 of bench B"), put(ControlId::Selector, 4.0));
    let tray = Action::ChooseTrayPart { bench: BenchId::A, part: "volume".into() };
    assert_eq!(click(&mut harness, "tray for volume of bench A"), [tray]);
}

/// A host that rests takes parameters over only when it plays on: what it shows as chosen may be what was chosen before.
#[test]
fn a_parameter_that_seems_to_be_there_is_told_to_the_host_all_the_same() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "listen to bench A"), [Action::Listen(Listen::A)]);
    assert_eq!(click(&mut harness, "position 1 of bench A"), put(ControlId::Selector, 1.0));
}

#[test]
fn what_is_already_chosen_is_not_chosen_again() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "E6"), []);
    assert_eq!(click(&mut harness, "redo"), [], "there is nothing to redo");
}

#[test]
fn a_wiring_and_an_add_on_are_chosen_from_lists() {
    let mut harness = wide(view(&CAPACITORS));
    assert_eq!(click(&mut harness, "wiring of bench B"), []);
    let chosen = click(&mut harness, "Two pickups, ordinary three-way");
    assert!(
        matches!(&chosen[..], [Action::ChooseWiring { bench: BenchId::B, name }] if name == "two-pickups"),
        "{chosen:?}"
    );
    let add_on = harness.state().model.benches[0].add_ons.iter().find(|one| one.refused.is_none()).cloned();
    let add_on = add_on.expect("some add-on fits");
    click(&mut harness, "add-ons of bench A");
    let fit = Action::FitAddOn { bench: BenchId::A, name: add_on.name, fitted: true };
    assert_eq!(click(&mut harness, &add_on.title), [fit]);
}

#[test]
fn asides_open_over_the_benches_and_close_again() {
    let mut harness = wide(view(&CAPACITORS));
    for (button, title) in [
        ("as recorded", "guitar"),
        ("text of B", "document of bench B"),
        ("drawing of bench A", "large drawing of bench A"),
        ("sounds of bench A", "copy as a document"),
        ("find a wiring, from bench A", "sounds table"),
        ("what the keys do", "redo"),
    ] {
        assert_eq!(click(&mut harness, button), []);
        assert!(harness.query_all_by_label(title).next().is_some(), "{button}");
        assert!(harness.query_by_label("copy to B").is_none(), "{button}: the benches are still there");
        assert_eq!(click(&mut harness, "close"), []);
        assert!(harness.query_by_label("copy to B").is_some());
    }
}

/// Every control, button and field says its name: nothing a screen reader meets is nameless.
#[test]
fn every_control_has_a_name() {
    use egui::accesskit::Role;
    for aside in [
        None,
        Some(Aside::Drawing(BenchId::B)),
        Some(Aside::Recorded),
        Some(Aside::Sounds(BenchId::A)),
        Some(Aside::Find),
        Some(Aside::Faults(BenchId::B)),
        Some(Aside::Document(BenchId::A)),
        Some(Aside::Blind),
        Some(Aside::Keys),
    ] {
        let mut harness = stage(view(&SERIES), Memory { aside, ..Memory::default() }, OPENS_AT);
        harness.run();
        let mut counted = 0;
        for node in harness.root().children_recursive() {
            let node = node.accesskit_node();
            let roles =
                [Role::Button, Role::Slider, Role::TextInput, Role::MultilineTextInput, Role::ComboBox, Role::CheckBox];
            if roles.contains(&node.role()) {
                counted += 1;
                let named = node.label().is_some_and(|label| !label.trim().is_empty());
                assert!(named, "{aside:?}: a nameless {:?} at {:?}", node.role(), node.bounding_box());
            }
        }
        assert!(counted > 20, "{aside:?}: only {counted} controls");
    }
}

/// The lug under the pointer tells its net, in both drawings.
#[test]
fn a_lug_under_the_pointer_tells_what_it_is_joined_to() {
    for symbols in [false, true] {
        let memory = Memory { aside: Some(Aside::Drawing(BenchId::A)), symbols, ..Memory::default() };
        let model = view(&CAPACITORS);
        let drawn = model.benches[0].drawn.clone().unwrap();
        let drawing = if symbols { drawn.schematic } else { drawn.pictorial };
        let mut harness = stage(model, memory, OPENS_AT);
        harness.run();
        let place = named(&harness, "large drawing of bench A").rect();
        let (_, lug) = drawing.lugs().find(|(_, lug)| lug.name == "volume.2").unwrap();
        let scale = place.width() / drawing.size.x as f32;
        harness.hover_at(place.min + scale * egui::vec2(lug.at.x as f32, lug.at.y as f32));
        // A tooltip waits until the pointer rests.
        harness.run_steps(60);
        let told = harness.query_all_by_label_contains("volume.2: net jack, joined to").count();
        assert_eq!(told, 1, "symbols: {symbols}");
    }
}
