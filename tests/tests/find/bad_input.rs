//! Tables and switches that cannot be searched: one clear message each, with the place.

use std::ops::ControlFlow;

use dryfit_dsp::document::{DocumentKind, Library, ProblemKind, Problems, Sounds};
use dryfit_dsp::find::{Effort, Outcome, find};

use crate::fixtures::*;

const FOUR_POLES: &str = "lever-4-pole-5-position";

fn refused(sounds: &Sounds, switch: &str) -> Problems {
    search(sounds, switch).expect_err("the table cannot be searched")
}

#[track_caller]
fn assert_one(problems: &Problems, kind: ProblemKind, line: usize, words: &[&str]) {
    assert_eq!(problems.0.len(), 1, "{problems}");
    let problem = &problems.0[0];
    assert_eq!((problem.kind, problem.line, problem.file.as_str()), (kind, Some(line), "table.toml"), "{problem}");
    for word in words {
        assert!(problem.to_string().contains(word), "{word} is missing in: {problem}");
    }
}

#[test]
fn a_pickup_that_the_guitar_lacks() {
    let wish = table(&["bridge", "bridge + midle", "middle", "neck + middle", "neck"], "");
    assert_one(&refused(&wish, ORDINARY), ProblemKind::UnknownName, 5, &["midle", "did you mean `middle`?"]);
}

#[test]
fn six_positions_of_a_five_position_switch() {
    let wish = table(&["bridge", "bridge + middle", "middle", "neck + middle", "neck", "bridge"], "");
    assert_one(&refused(&wish, ORDINARY), ProblemKind::OutOfRange, 9, &["position 6", ORDINARY, "has 5"]);
}

#[test]
fn a_series_pair_of_pickups_whose_covers_are_on_their_own_ground_leads() {
    let wish = table(&["bridge", "bridge + middle", "middle", "neck + middle", "neck in series with bridge"], "");
    let mut guitar = guitar();
    let library = Library::presets();
    guitar.pickups[2].grounded_cover = true;
    // One covered pickup may stand at the bottom of the chain.
    assert!(
        find(&library, &wish, &guitar, Some(TWO_POLES), Effort { tried: 1, solutions: 1 }, &mut |_, _| {
            ControlFlow::Continue(())
        })
        .is_ok()
    );
    guitar.pickups[0].grounded_cover = true;
    let problems =
        find(&library, &wish, &guitar, Some(TWO_POLES), Effort::default(), &mut |_, _| ControlFlow::Continue(()))
            .unwrap_err();
    assert_one(
        &problems,
        ProblemKind::BadSound,
        8,
        &["position 5", "neck", "bridge", "cover", "ground wire of its own"],
    );
}

/// In brackets as well: what stands above another is off ground with all of its pickups.
#[test]
fn a_series_net_of_pickups_whose_covers_are_on_their_own_ground_leads() {
    let all = "(neck + middle) in series with bridge";
    let wish = table(&["bridge", "bridge + middle", "middle", "neck + middle", all], "");
    let mut guitar = guitar();
    (guitar.pickups[0].grounded_cover, guitar.pickups[1].grounded_cover) = (true, true);
    let library = Library::presets();
    let problems = find(&library, &wish, &guitar, Some(TWO_POLES), Effort::default(), &mut |_, _| {
        std::ops::ControlFlow::Continue(())
    })
    .unwrap_err();
    assert_one(&problems, ProblemKind::BadSound, 8, &["position 5", "middle and bridge", "cover"]);
}

#[test]
fn what_is_wrong_with_a_switch_moved_is_told_on_its_own_line() {
    let wish =
        table(&POSITIONS, "[switches.series.up]\n4 = \"neck + middle + bridge\"\n5 = \"nekc in series with bridge\"");
    assert_one(&refused(&wish, ORDINARY), ProblemKind::UnknownName, 14, &["nekc", "did you mean `neck`?"]);
}

#[test]
fn a_covered_pickup_that_is_to_be_reversed() {
    let wish = table(&["bridge", "bridge + reversed neck", "middle", "neck + middle", "neck"], "");
    let mut guitar = guitar();
    guitar.pickups[2].grounded_cover = true;
    let problems = find(&Library::presets(), &wish, &guitar, Some(TWO_POLES), Effort::default(), &mut |_, _| {
        ControlFlow::Continue(())
    })
    .unwrap_err();
    assert_one(&problems, ProblemKind::BadSound, 5, &["position 2", "reverses the neck", "cover"]);
}

#[test]
fn a_table_that_contradicts_itself() {
    let text = "format = 1\ntitle = \"t\"\n[positions]\n1 = \"bridge + neck\"\n[knobs]\nblend = \"blend neck in 1\"\n";
    let problems = Sounds::read("table.toml", text).unwrap_err();
    assert_one(&problems, ProblemKind::BadSound, 6, &["`blend`", "neck", "position 1", "on already"]);
    let twice = "format = 1\ntitle = \"t\"\n[positions]\n1 = \"bridge\"\n[knobs]\na = \"blend neck in 1\"\nb = \"blend neck in 1\"\n";
    assert_one(&Sounds::read("table.toml", twice).unwrap_err(), ProblemKind::BadSound, 7, &["`a` and `b`", "neck"]);
}

#[test]
fn a_volume_that_acts_in_some_positions_only() {
    let text = "format = 1\ntitle = \"t\"\n[positions]\n1 = \"bridge\"\n2 = \"neck + bridge\"\n3 = \"neck\"\n[knobs]\nvolume = \"volume in 1 2\"\n";
    let wish = Sounds::read("table.toml", text).unwrap();
    assert_one(&refused(&wish, "lever-3-position"), ProblemKind::BadSound, 8, &["`volume`", "some positions only"]);
}

#[test]
fn a_switch_position_that_no_known_switch_has() {
    let wish = table(&POSITIONS, "[switches.series.sideways]\n5 = \"neck in series with bridge\"");
    assert_one(&refused(&wish, ORDINARY), ProblemKind::UnknownName, 12, &["sideways"]);
}

#[test]
fn a_label_that_would_give_a_part_the_name_of_a_pickup() {
    let wish = table(&POSITIONS, "neck = \"blend neck in 1 2\"");
    assert_one(&refused(&wish, ORDINARY), ProblemKind::DuplicateName, 12, &["`neck`", "taken"]);
}

#[test]
fn a_switch_document_with_a_million_combinations_is_refused_before_any_search() {
    let mut library = Library::presets();
    let lugs: Vec<String> = (0..60).map(|lug| format!("\"x{lug}\"")).collect();
    let positions: String = (1..60).map(|n| format!("[[positions]]\njoined = [[\"x0\", \"x{n}\"]]\n")).collect();
    let text =
        format!("format = 1\ntitle = \"m\"\nkind = \"selector\"\npoles = {{ x = [{}] }}\n{positions}", lugs.join(", "));
    library.insert(DocumentKind::Switch, "monster", "monster", &text);
    let toggles = "[switches.p.up]\n1 = \"neck\"\n[switches.q.up]\n1 = \"neck\"\n[switches.r.up]\n1 = \"neck\"";
    let wish = table(&["bridge"; 59], toggles);
    let refused =
        find(&library, &wish, &guitar(), Some("monster"), Effort::default(), &mut |_, _| ControlFlow::Continue(()))
            .unwrap_err();
    let kinds: Vec<_> = refused.0.iter().map(|problem| problem.kind).collect();
    assert_eq!(kinds, [ProblemKind::TooLarge, ProblemKind::TooLarge], "{refused}");
    assert!(refused.to_string().contains("472 ways, more than the 256"), "{refused}");
}

#[test]
fn a_search_that_takes_too_long_says_that_it_proved_nothing() {
    let wish = table(&POSITIONS, "[switches.series.up]\n5 = \"neck in series with bridge\"");
    let little = Effort { tried: 5, solutions: 1 };
    let outcome =
        find(&Library::presets(), &wish, &guitar(), Some(TWO_POLES), little, &mut |_, _| ControlFlow::Continue(()))
            .unwrap();
    assert!(matches!(outcome, Outcome::GivenUp { .. }), "{outcome:?}");
}

/// Whoever gives up wants no proof: neither a claim that there is none, nor that nothing else would do.
#[test]
fn a_search_that_is_given_up_claims_nothing_and_keeps_what_it_has() {
    let wish = table(&POSITIONS, "blend = \"blend neck in 1\"");
    let at_once = &mut |_, _| ControlFlow::Break(());
    for selector in [Some(ORDINARY), Some(TWO_POLES), None] {
        let outcome = find(&Library::presets(), &wish, &guitar(), selector, Effort::default(), at_once).unwrap();
        assert!(matches!(outcome, Outcome::GivenUp { tried: 0 }), "{selector:?}: {outcome:?}");
    }
    let text =
        "[switches.series.up]\n5 = \"neck in series with bridge\"\n[switches.\"neck on\".up]\n1 = \"neck + bridge\"";
    let wish = table(&OUTER_PAIR, text);
    let mut asked = 0;
    let soon = &mut |_, _| {
        asked += 1;
        if asked < 8 { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    };
    let outcome = find(&Library::presets(), &wish, &guitar(), Some(FOUR_POLES), Effort::default(), soon).unwrap();
    match outcome {
        Outcome::Found(found) => assert!(found.at_least < found.wires && !found.all_counted),
        Outcome::GivenUp { tried } => assert!(tried < Effort::default().tried),
        Outcome::Impossible(_) => panic!("{outcome:?}"),
    }
}
