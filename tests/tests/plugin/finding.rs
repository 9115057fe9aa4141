//! From the sounds that are wanted to a wiring on a bench.

use std::time::{Duration, Instant};

use dryfit_dsp::document::{Library, Sounds};
use dryfit_plugin::editor::{Action, BenchId, DocumentId, FoundWords, Search, ViewModel};
use dryfit_plugin::session::{Bench, Project};

use super::app::Instance;

const TWO_POLES: &str = "lever-2-pole-5-position";
const ORDINARY: &str = "lever-5-position";

fn preset(name: &str) -> String {
    Library::presets().text(dryfit_dsp::document::DocumentKind::Sounds, name).unwrap().1.to_string()
}

impl Instance {
    fn wants(&mut self, text: &str, switch: &str) {
        self.act(Action::EditDocument { document: DocumentId::Sounds, text: text.into() });
        self.act(Action::ChooseSwitch(Some(switch.into())));
    }

    fn finds(&mut self) -> FoundWords {
        self.act(Action::Find);
        let start = Instant::now();
        while matches!(self.app.model().find.search, Search::Running(_)) {
            assert!(start.elapsed() < Duration::from_secs(60));
            std::thread::sleep(Duration::from_millis(1));
        }
        match self.app.model().find.search.clone() {
            Search::Done(words) => words,
            other => panic!("{other:?}"),
        }
    }
}

#[track_caller]
fn assert_gives(model: &ViewModel, bench: BenchId, wish: &str) {
    let (wish, read) = (Sounds::read("wish", wish).unwrap(), &model.bench(bench).sounds.text);
    let read = Sounds::read("read", read).unwrap_or_else(|problems| panic!("{problems}"));
    assert!(wish.positions.iter().zip(&read.positions).all(|(one, other)| one.same_as(other)));
    let knobs =
        |sounds: &Sounds| sounds.knobs.iter().map(|wish| (wish.label.clone(), wish.does(5))).collect::<Vec<_>>();
    assert_eq!(knobs(&wish), knobs(&read));
}

/// Blend in position 1 only takes two poles. Common practice, no source.
#[test]
fn a_found_wiring_comes_onto_a_bench_in_one_edit_and_is_heard_drawn_and_read_back() {
    let (mut instance, wish) = (Instance::new(), preset("five-way-bridge-only-neck-blend"));
    instance.act(Action::FitAddOn { bench: BenchId::B, name: "treble-bleed".into(), fitted: true });
    instance.wants(&wish, TWO_POLES);
    assert!(instance.settled().find.ready);
    let words = instance.finds();
    assert!(words.wiring && !words.outdated, "{words:?}");
    assert!(words.verdict.starts_with("Found: "), "{}", words.verdict);
    assert!(words.reasons.iter().any(|reason| reason.contains("ruled out")), "{:?}", words.reasons);
    let before = instance.desk.project();
    instance.act(Action::PutFound(BenchId::B));
    let model = instance.settled().clone();
    assert_eq!((model.bench(BenchId::B).wiring.as_str(), model.undo.as_deref()), ("found", Some("found wiring on B")));
    assert!(model.bench(BenchId::B).drawn.is_some() && model.graph.curves[1].len() > 50);
    assert!(model.bench(BenchId::B).add_ons.iter().all(|add_on| !add_on.fitted), "the table asks for no add-on");
    assert_gives(&model, BenchId::B, &wish);
    assert_eq!(instance.desk.project().bench(Bench::A), before.bench(Bench::A));
    instance.act(Action::Undo);
    assert_eq!(instance.desk.project(), before);
}

#[test]
fn what_cannot_be_had_is_proved_in_words_and_the_switch_that_would_do_is_there_to_be_tried() {
    let (mut instance, wish) = (Instance::new(), preset("five-way-bridge-only-neck-blend"));
    instance.wants(&wish, ORDINARY);
    let words = instance.finds();
    let title = |name: &str| Library::presets().switch(name).unwrap().title;
    assert_eq!(words.verdict, format!("No wiring on \"{}\" gives this table.", title(ORDINARY)));
    assert!(words.reasons.iter().any(|reason| reason.contains("blend")), "{:?}", words.reasons);
    assert!(words.reasons.iter().any(|reason| reason.starts_with("Its closed contacts: a-a1 in 1 2")), "{:?}", words);
    assert!(words.advice[0].contains(&title(TWO_POLES)), "{:?}", words.advice);
    assert!(words.advice[1].starts_with("Or give up "), "{:?}", words.advice);
    instance.act(Action::PutFound(BenchId::A));
    assert_gives(&instance.settled().clone(), BenchId::A, &wish);
}

#[test]
fn a_table_is_checked_as_it_is_typed_with_the_line_of_every_mistake() {
    let mut instance = Instance::new();
    let wish = preset("five-way-neck-blend").replace("3 = \"middle\"", "3 = \"midle\"").replace("in 1 2", "in 1 9");
    instance.wants(&wish, TWO_POLES);
    let find = instance.settled().find.clone();
    assert!(!find.ready && find.document.text == wish);
    let line = |what: &str| wish.lines().position(|line| line.contains(what)).unwrap() + 1;
    let marked: Vec<_> = find.document.problems.iter().map(|problem| problem.line).collect();
    assert_eq!(marked, [Some(line("in 1 9"))], "{:?}", find.document.problems);
    instance.wants(&wish.replace("in 1 9", "in 1 2"), TWO_POLES);
    let problems = instance.settled().find.document.problems.clone();
    assert!(problems.iter().any(|problem| problem.line == Some(line("midle")) && problem.what.contains("middle")));
    instance.act(Action::ChooseSwitch(Some("lever-3-position".into())));
    let problems = instance.settled().find.document.problems.clone();
    assert!(problems.iter().any(|problem| problem.what.contains("lever-3-position")), "{problems:?}");
    instance.act(Action::ChooseSwitch(None));
    assert_eq!(
        instance.settled().find.document.problems.len(),
        1,
        "without a selector, one with five positions is meant"
    );
}

/// Nothing sounds by a wish, so nothing is compiled for it; and a sentence that is typed is taken back as one.
#[test]
fn the_wish_touches_no_sound_and_typing_it_is_one_edit() {
    let mut instance = Instance::new();
    instance.settled();
    let before = instance.desk.project();
    let text = preset("five-way-neck-blend");
    for end in [10, 20, text.len()] {
        let document = DocumentId::Sounds;
        instance.act(Action::EditDocument { document, text: text[..end].into() });
        assert!(!instance.desk.working(), "nothing is compiled");
        assert_eq!(instance.settled().find.document.revision, 0, "typing must not take the text from under the cursor");
    }
    assert!(instance.desk.project().sounds_as(&before));
    instance.act(Action::Undo);
    assert_eq!(instance.desk.project(), before);
    instance.act(Action::ChooseSounds("two-pickups".into()));
    let find = instance.settled().find.clone();
    assert_eq!((find.document.text, find.document.revision), (preset("two-pickups"), 2));
    instance.act(Action::SoundsOfBench(BenchId::A));
    let read = Sounds::read("read", &instance.settled().find.document.text.clone()).unwrap();
    assert_eq!(read.knobs[2].does(5), "blend neck in 1");
}

/// A table that is half written is work of the user's: it comes back with the host's project, mistakes and all.
#[test]
fn the_wish_is_saved_with_the_project_and_older_projects_have_none() {
    let mut instance = Instance::new();
    let without = instance.desk.save();
    assert!(!without.contains("wanted"));
    assert_eq!(Project::from_text(&without).unwrap().wanted, None);
    instance.wants("half a table", TWO_POLES);
    let saved = instance.desk.save();
    let mut other = Instance::new();
    other.desk.restore(&saved);
    let find = other.settled().find.clone();
    assert_eq!((find.document.text.as_str(), find.selector.as_deref()), ("half a table", Some(TWO_POLES)));
}

/// With four poles and two push-pulls the effort of the search is about a second; it ends long before, and edits are compiled
/// meanwhile.
#[test]
fn a_search_is_given_up_when_the_user_says_so() {
    let mut instance = Instance::new();
    let wish = preset("five-way-outer-pair-series") + "\n[switches.\"neck on\".up]\n1 = \"bridge + neck\"\n";
    instance.wants(&wish, "lever-4-pole-5-position");
    assert!(instance.settled().find.ready, "{:?}", instance.settled().find);
    instance.act(Action::Find);
    assert!(instance.app.finds() && instance.app.moves());
    instance.act(Action::CopyBench { from: BenchId::A });
    instance.act(Action::GiveUpFinding);
    let start = Instant::now();
    while instance.app.finds() {
        assert!(start.elapsed() < Duration::from_secs(30));
        std::thread::sleep(Duration::from_millis(1));
        instance.app.model();
    }
    let Search::Done(words) = instance.settled().find.search.clone() else { panic!("it ended") };
    let ended = words.verdict.starts_with("Given up") || words.verdict.contains("perhaps fewer would do");
    assert!(ended, "{words:?}");
}

#[test]
fn a_result_says_so_when_it_is_no_longer_what_is_asked_for() {
    let (mut instance, wish) = (Instance::new(), preset("five-way-master-tone"));
    instance.wants(&wish, ORDINARY);
    assert!(!instance.finds().outdated);
    instance.act(Action::ChooseSwitch(None));
    let Search::Done(words) = instance.settled().find.search.clone() else { panic!("it is still there") };
    assert!(words.outdated && words.wiring);
}
