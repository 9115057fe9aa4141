//! The strings and frets that are heard.

use dryfit_plugin::editor::*;
use egui_kittest::kittest::Queryable;

use super::fixtures::{CAPACITORS, followed, resting, view};
use super::stage::{click, wide};

fn strings(model: &ViewModel) -> Vec<HeardString> {
    match &model.heard {
        HeardView::Strings(strings) => strings.clone(),
        other => panic!("notes are followed: {other:?}"),
    }
}

/// Source: the performance itself; at that time its second chord sounds: F, frets 1 3 3 2 1 1 from the lowest string.
#[test]
fn every_string_tells_in_words_what_is_heard_of_it() {
    let model = followed();
    let strings = strings(&model);
    let shown: Vec<_> = strings.iter().map(|string| string.note.as_ref().map(|note| note.fret.as_str())).collect();
    let right = shown.iter().zip(["1", "3", "3", "2", "1", "1"]).filter(|(shown, fret)| **shown == Some(*fret)).count();
    assert!(right >= 3, "{shown:?}");
    let harness = wide(model);
    for string in &strings {
        assert!(harness.query_by_label(&string.words).is_some(), "{}", string.words);
    }
}

/// The same note twice, once as a string that is sure, once as one that is not: they differ in their words, too.
#[test]
fn a_string_that_is_not_sure_says_so() {
    let mut model = followed();
    let mut strings = strings(&model);
    for (string, sure) in strings.iter_mut().zip([true, false]) {
        string.note = Some(HeardNote { fret: "13".into(), pitch: "F3".into(), sure });
    }
    model.heard = HeardView::Strings(strings);
    let harness = wide(model);
    assert_eq!(texts(&harness, "13"), 1);
    assert_eq!(texts(&harness, "13?"), 1);
}

#[test]
fn nothing_of_it_is_there_while_notes_are_not_followed() {
    let model = view(&CAPACITORS);
    assert_eq!(model.heard, HeardView::Off);
    let mut harness = wide(model);
    assert!(harness.query_by_label("heard").is_none());
    assert_eq!(click(&mut harness, "note following"), [Action::FollowNotes(true)]);
}

#[test]
fn why_nothing_is_heard_is_said_where_nothing_is_estimated() {
    let model = resting();
    let HeardView::Resting(why) = model.heard.clone() else { panic!("{:?}", model.heard) };
    assert!(wide(model).query_by_label(&why).is_some());
}

/// How many painted texts read so.
fn texts(harness: &egui_kittest::Harness<'static, super::stage::Stage>, text: &str) -> usize {
    fn count(shape: &egui::Shape, text: &str) -> usize {
        match shape {
            egui::Shape::Vec(shapes) => shapes.iter().map(|shape| count(shape, text)).sum(),
            egui::Shape::Text(painted) => usize::from(painted.galley.text() == text),
            _ => 0,
        }
    }
    harness.output().shapes.iter().map(|clipped| count(&clipped.shape, text)).sum()
}
