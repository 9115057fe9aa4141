//! What can be had with which switch. All of it is common practice, no source, and follows from the switches' contacts.

use std::ops::ControlFlow;

use dryfit_dsp::circuit::check;
use dryfit_dsp::document::{DocumentKind, Library};
use dryfit_dsp::find::{Effort, Outcome, find};

use crate::fixtures::*;

#[test]
fn a_blend_in_position_1_only_needs_two_poles_of_five_throws() {
    let wish = table(&POSITIONS, "blend = \"blend neck in 1\"");
    let refused = impossible(&wish, ORDINARY);
    assert_eq!(refused.reasons.len(), 1, "{refused:?}");
    let reason = &refused.reasons[0];
    for word in ["`blend`", "neck", "position 1", "position 2", "a-a1, b-b1"] {
        assert!(reason.contains(word), "{word} is missing in: {reason}");
    }
    assert!(refused.contacts.contains(&("a-a1".into(), vec![1, 2])), "{:?}", refused.contacts);
    assert_eq!(refused.instead.as_ref().map(|found| found.selector.as_str()), Some(TWO_POLES));
    assert!(refused.give_up.iter().any(|wish| wish.contains("`blend` acts in position 1")), "{:?}", refused.give_up);
    // By hand, as the preset of that name is wired: two commons, three bridge and blend throws, three for the middle, two for the neck.
    assert_eq!(found(&wish, TWO_POLES).wires, 10);
}

#[test]
fn an_outer_pair_in_the_centre_needs_two_poles_of_five_throws() {
    let wish = table(&OUTER_PAIR, "");
    let refused = impossible(&wish, ORDINARY);
    let told = refused.reasons.join("\n");
    assert!(told.contains("The neck is to be on in position 3 and off in position 2"), "{told}");
    assert!(told.contains("The bridge is to be on in position 3 and off in position 4"), "{told}");
    assert_eq!(refused.instead.as_ref().map(|found| found.selector.as_str()), Some(TWO_POLES));
    found(&wish, TWO_POLES);
}

#[test]
fn a_blend_wherever_the_bridge_is_on_is_there_for_the_ordinary_lever() {
    let wish = table(&POSITIONS, "blend = \"blend neck in 1 2\"");
    let found = found(&wish, ORDINARY);
    // By hand: two commons, one throw for each pickup, one for the blend.
    assert_eq!(found.wires, 6);
    assert!(found.all_counted && found.solutions > 1);
}

#[test]
fn both_ideas_together_fit_on_two_poles_of_five_throws() {
    let wish = table(&OUTER_PAIR, "blend = \"blend neck in 1\"");
    assert!(!impossible(&wish, ORDINARY).reasons.is_empty());
    found(&wish, TWO_POLES);
}

#[test]
fn a_blend_with_a_pair_and_two_poles_is_short_of_one_contact() {
    let refused = impossible(&table(&POSITIONS, "blend = \"blend neck in 1 2\""), TWO_POLES);
    let reason = &refused.reasons[0];
    assert!(reason.contains("Position 2") && reason.contains("3 joints") && reason.contains("closes 2"), "{reason}");
    // A blend with both ends on lugs is not searched for, and the message says so.
    assert!(reason.contains("one end on the pickup that it feeds in"), "{reason}");
    assert_eq!(refused.instead.map(|found| found.selector), Some(ORDINARY.to_string()));
}

#[test]
fn poles_that_are_not_needed_are_left_over() {
    let four = found(&table(&POSITIONS, "blend = \"blend neck in 1\""), "lever-4-pole-5-position");
    assert_eq!(four.unused_poles, ["selector c", "selector d"]);
    assert_eq!(found(&table(&POSITIONS, ""), ORDINARY).unused_poles, ["selector b"]);
}

#[test]
fn the_same_wish_gives_the_same_wiring_every_time() {
    let wish = table(&POSITIONS, "blend = \"blend neck in 1 2\"");
    assert_eq!(found(&wish, ORDINARY), found(&wish, ORDINARY));
}

#[test]
fn a_position_that_is_silent_is_made_by_leaving_it_open_and_never_by_a_short() {
    let wish = table(&["bridge", "silent", "middle", "silent", "neck"], "");
    let found = found(&wish, TWO_POLES);
    let problems = check(&assembled(&found, &guitar()));
    assert!(!problems.any_error(), "{problems}");
}

#[test]
fn a_series_pair_is_found_on_the_four_position_lever() {
    found(&table(&["bridge", "neck + bridge", "neck", "neck in series with bridge"], ""), "lever-2-pickup-4-position");
}

/// By hand: the pickups' five throws, two of them for the bridge; its own lug for the series joint, where the pair's ground leads go
/// on with a common lug; and ground on the three throws that put them back.
#[test]
fn a_pair_in_parallel_in_series_with_a_third_is_found_on_two_poles_and_not_on_the_ordinary_lever() {
    let all = "(neck + middle) in series with bridge";
    let wish = table(&["bridge", "bridge + middle", "middle", "neck + middle", all], "");
    let told = impossible(&wish, ORDINARY);
    assert_eq!(told.instead.as_ref().map(|found| found.selector.as_str()), Some(TWO_POLES));
    let found = found(&wish, TWO_POLES);
    assert_eq!(found.wires, found.at_least);
    // The same sound said otherwise is the same wish.
    let turned =
        table(&["bridge", "middle + bridge", "middle", "middle + neck", "bridge in series with (middle + neck)"], "");
    assert_eq!(self::found(&turned, TWO_POLES).wires, found.wires);
}

#[test]
fn a_covered_pickup_stands_at_the_bottom_of_what_is_in_brackets() {
    let library = Library::presets();
    let all = "(neck + middle) in series with bridge";
    let wish = table(&["bridge", "bridge + middle", "middle", "neck + middle", all], "");
    for covered in [0, 1] {
        let mut guitar = guitar();
        guitar.pickups[covered].grounded_cover = true;
        let outcome =
            find(&library, &wish, &guitar, None, Effort::default(), &mut |_, _| std::ops::ControlFlow::Continue(()))
                .unwrap();
        let Outcome::Found(found) = outcome else { panic!("{outcome:?}") };
        assert_gives(&found, &wish, &guitar);
        let name = &guitar.pickups[covered].name;
        let ground = found.wiring.lines().find(|line| line.starts_with("ground = ")).unwrap();
        assert!(ground.contains(&format!("\"{name}.ground\"")), "{name}: {ground}");
    }
}

#[test]
fn every_preset_table_without_switches_is_found_again_with_the_smallest_lever_that_will_do() {
    let library = Library::presets();
    for name in library.names(DocumentKind::Sounds) {
        let wish = library.sounds(name).unwrap();
        if !wish.settings.is_empty() {
            continue;
        }
        let guitar =
            library.guitar(if name.starts_with("two") { "two-single-coils" } else { "three-single-coils" }).unwrap();
        let outcome =
            find(&library, &wish, &guitar, None, Effort::default(), &mut |_, _| ControlFlow::Continue(())).unwrap();
        let Outcome::Found(found) = outcome else { panic!("{name}: {outcome:?}") };
        assert_gives(&found, &wish, &guitar);
    }
}

#[test]
fn a_switch_that_adds_the_neck_is_found() {
    let more =
        "[switches.\"neck on\".up]\n1 = \"bridge + neck\"\n2 = \"bridge + middle + neck\"\n3 = \"middle + neck\"";
    let found = found(&table(&POSITIONS, more), ORDINARY);
    assert_eq!(found.switches, [("neck on".to_string(), "push-pull".to_string())]);
    // Four for the ordinary table, and the neck to the hot joint by one contact of the switch.
    assert_eq!(found.wires, 6);
}

#[test]
fn a_series_switch_is_found() {
    let more = "[switches.series.up]\n4 = \"neck in series with bridge + middle\"\n5 = \"neck in series with bridge\"";
    // Four for the ordinary table, three for the neck's ground lead between ground and the bridge.
    assert_eq!(found(&table(&POSITIONS, more), ORDINARY).wires, 7);
}

#[test]
fn a_phase_switch_is_found_with_the_fewest_wires() {
    let more = "[switches.phase.up]\n2 = \"bridge + reversed middle\"\n3 = \"reversed middle\"\n\
                4 = \"neck + reversed middle\"";
    let found = found(&table(&POSITIONS, more), ORDINARY);
    // By hand: four for the ordinary table less the middle's throw, and six lugs of a push-pull that crosses the middle's leads.
    assert_eq!((found.wires, found.at_least), (9, 9));
}

#[test]
fn what_is_taken_for_granted_of_a_blend_is_told_only_where_there_is_one() {
    let more = "[switches.series.up]\n3 = \"neck in series with bridge\"";
    for reason in impossible(&table(&OUTER_PAIR, more), TWO_POLES).reasons {
        assert!(!reason.contains("blend"), "{reason}");
    }
}

/// By hand: a throw of the selector for every pickup that is on in a position, less one where it is alone, and a common lug for each of
/// two poles; then what the push-pull takes.
#[test]
fn four_poles_and_a_push_pull_take_as_few_wires_as_two_poles_and_that_is_proved() {
    let neck_on = "[switches.on.up]\n1 = \"bridge + neck\"\n2 = \"bridge + middle + neck\"";
    let phase = "[switches.phase.up]\n2 = \"bridge + reversed middle\"\n4 = \"neck + reversed middle\"";
    for (more, wires) in [(neck_on, 12), (phase, 15)] {
        let wish = table(&OUTER_PAIR, more);
        for switch in [TWO_POLES, "lever-4-pole-5-position"] {
            let found = found(&wish, switch);
            assert_eq!((found.wires, found.at_least), (wires, wires), "{more} on {switch}");
        }
    }
    let series = "[switches.series.up]\n3 = \"neck in series with bridge\"";
    let found = found(&table(&OUTER_PAIR, series), "lever-4-pole-5-position");
    assert_eq!((found.wires, found.at_least), (15, 15));
}

/// The wiring is right; that no fewer wires would do is not proved with the default effort, and not claimed.
#[test]
fn four_poles_and_two_push_pulls_are_found() {
    let phase = "[switches.phase.up]\n2 = \"bridge + reversed middle\"\n4 = \"neck + reversed middle\"";
    let series = "[switches.series.up]\n5 = \"neck in series with bridge\"";
    let more = "[switches.more.up]\n4 = \"neck in series with middle\"";
    for (positions, more) in [
        (&POSITIONS, format!("{series}\n{phase}")),
        (&POSITIONS, format!("{series}\n{more}")),
        (&OUTER_PAIR, format!("{phase}\n[switches.on.up]\n1 = \"bridge + neck\"\n2 = \"bridge + middle + neck\"")),
    ] {
        let found = found(&table(positions, &more), "lever-4-pole-5-position");
        assert!(found.at_least <= found.wires, "{found:?}");
    }
}
