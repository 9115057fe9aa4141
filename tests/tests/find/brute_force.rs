//! On small switches every wiring there is can be tried: each is put together, its table read off its circuit, and the search has to
//! agree on every table, whether it can be had, with how few wires, and how many wirings have so few.

use std::ops::ControlFlow;

use dryfit_dsp::circuit::combinations;
use dryfit_dsp::document::{Assembly, DocumentKind, KnobAction, Sound};
use dryfit_dsp::find::{Effect, Effort, Found, Outcome, find, read_row};
use proptest::prelude::*;

use crate::small::{Cell, Job, Small, Truth, blend_neck, small};

const PLAIN: [&str; 4] = ["silent", "bridge", "neck", "bridge + neck"];
const REVERSED: [&str; 5] = ["silent", "bridge", "bridge + neck", "reversed neck", "bridge + reversed neck"];
const SERIES: [&str; 5] = ["silent", "bridge", "neck", "bridge + neck", "neck in series with bridge"];
const BOTH: [&str; 4] =
    ["neck", "bridge + reversed neck", "neck in series with bridge", "reversed neck in series with bridge"];

fn changeover() -> Small {
    small("a a1 a2", &["a-a1", "a-a2"])
}

fn both_between() -> Small {
    small("a a1 a2", &["a-a1", "a-a1-a2", "a-a2"])
}

fn three_throws() -> Small {
    small("a a1 a2 a3", &["a-a1", "a-a2", "a-a3"])
}

/// What a search came to, in short.
#[derive(Debug, PartialEq)]
enum Answer {
    Impossible,
    /// Wires, proved to be the fewest, and how many wirings have so few.
    Fewest(usize, usize),
}

/// Searches for a table, and holds the answer against the truth. Says whether it can be had.
fn agrees(job: &Job, truth: &mut Truth<'_>, cells: &[Cell]) -> bool {
    let wish = job.wish(cells);
    let tried = truth.fewest(cells).map_or(Answer::Impossible, |(wires, count)| Answer::Fewest(wires, count));
    let Some(wish) = wish else {
        assert_eq!(tried, Answer::Impossible, "{cells:?} cannot be written down");
        return false;
    };
    let effort = Effort { solutions: 100_000, ..Effort::default() };
    let outcome =
        find(&job.library(), &wish, &job.guitar(), Some("small"), effort, &mut |_, _| ControlFlow::Continue(()));
    let outcome = outcome.unwrap_or_else(|problems| panic!("{cells:?}: {problems}"));
    let answer = match &outcome {
        Outcome::Found(found) => {
            assert_eq!((found.at_least, found.all_counted), (found.wires, true), "{cells:?}: {found:?}");
            assert_gives(job, found, cells);
            Answer::Fewest(found.wires, found.solutions)
        }
        Outcome::Impossible(_) => Answer::Impossible,
        Outcome::GivenUp { .. } => panic!("{job:?} {cells:?}: given up"),
    };
    assert_eq!(answer, tried, "{job:?} {cells:?}: by the search on the left, by brute force on the right\n{outcome:?}");
    answer != Answer::Impossible
}

/// The found document, read back, gives the wish.
fn assert_gives(job: &Job, found: &Found, cells: &[Cell]) {
    let mut library = job.library();
    library.insert(DocumentKind::Wiring, "found", "found", &found.wiring);
    let assembly = library.wiring("found").and_then(|wiring| Assembly::new(&wiring, &job.guitar(), &library));
    let assembly = assembly.unwrap_or_else(|problems| panic!("{problems}\n{}", found.wiring));
    let knob = assembly.controls.knob("knob");
    assert_eq!(combinations(&assembly.controls).count(), cells.len());
    for (controls, (words, acts)) in combinations(&assembly.controls).zip(cells) {
        let row = read_row(&assembly, &controls);
        let sound = Sound::parse(&row.words).unwrap_or_else(|_| panic!("{}\n{}", row.words, found.wiring));
        assert!(sound.same_as(&Sound::parse(words).unwrap()), "{sound} instead of {words}\n{}", found.wiring);
        // A knob that acts nowhere is left out; in silence nobody hears what it does.
        let does = knob.map_or(&Effect::Nothing, |knob| &row.knobs[knob]);
        assert!(words == "silent" || (*does != Effect::Nothing) == *acts, "{does:?} in {words}\n{}", found.wiring);
    }
}

/// Holds every table of a job against the truth, with the knob acting or not wherever something sounds. At least so many must be
/// possible.
fn every_table_agrees(job: &Job, sounds: &[&str], at_least: usize) {
    let mut truth = Truth::new(job);
    let kinds: Vec<Cell> = sounds
        .iter()
        .flat_map(|sound| [false, true].map(|acts| (sound.to_string(), acts)))
        .filter(|(sound, acts)| !acts || (job.knob.is_some() && sound != "silent"))
        .collect();
    let mut possible = 0;
    for number in 0..kinds.len().pow(job.combinations() as u32) {
        let cell = |place: usize| kinds[number / kinds.len().pow(place as u32) % kinds.len()].clone();
        let cells: Vec<Cell> = (0..job.combinations()).map(cell).collect();
        if is_searched(job, &cells) {
            possible += usize::from(agrees(job, &mut truth, &cells));
        }
    }
    assert!(possible >= at_least, "only {possible} tables were possible");
}

/// Not a table in which nothing sounds, which is refused, and not one whose tone acts everywhere, which is given on the hot joint.
fn is_searched(job: &Job, cells: &[Cell]) -> bool {
    let mut sounding = cells.iter().filter(|(sound, _)| sound != "silent").peekable();
    sounding.peek().is_some() && (job.knob != Some(KnobAction::Tone) || !sounding.all(|(_, acts)| *acts))
}

#[test]
fn a_changeover() {
    every_table_agrees(&Job::new(changeover()), &PLAIN, 9);
}

#[test]
fn a_pole_that_joins_both_throws_between() {
    every_table_agrees(&Job::new(both_between()), &PLAIN, 9);
}

#[test]
fn three_throws_of_one_pole() {
    every_table_agrees(&Job::new(three_throws()), &PLAIN, 15);
}

#[test]
fn two_poles_that_are_alike() {
    every_table_agrees(&Job::new(small("a a1 a2, b b1 b2", &["a-a1 b-b1", "a-a2 b-b2"])), &PLAIN, 15);
}

#[test]
fn a_selector_beside_a_toggle() {
    let toggle = Some(small("a a1 a2", &["a-a1", "a-a2"]));
    every_table_agrees(&Job { toggle, ..Job::new(changeover()) }, &PLAIN, 15);
}

/// What is on where both are closed only takes a wire from one switch to the other.
#[test]
fn two_alike_poles_beside_a_toggle() {
    let toggle = Some(small("a a1", &["a-a1", ""]));
    every_table_agrees(&Job { toggle, ..Job::new(small("a a1, b b1", &["a-a1 b-b1", ""])) }, &PLAIN, 15);
}

#[test]
fn a_reversed_pickup_on_two_poles() {
    every_table_agrees(&Job::new(small("a a1 a2, b b1 b2", &["a-a1 b-b1", "a-a2 b-b2"])), &REVERSED, 10);
}

#[test]
fn a_series_sound_on_one_pole() {
    every_table_agrees(&Job::new(changeover()), &SERIES, 10);
    every_table_agrees(&Job::new(both_between()), &SERIES, 10);
}

#[test]
fn two_throws_that_are_joined_in_one_position_only() {
    every_table_agrees(&Job::new(small("a a1 a2", &["", "a1-a2", ""])), &SERIES, 10);
}

#[test]
fn a_series_sound_with_a_toggle() {
    let toggle = Some(small("a a1 a2", &["a-a1", "a-a2"]));
    every_table_agrees(&Job { toggle, ..Job::new(small("a a1", &["a-a1", ""])) }, &SERIES, 10);
}

#[test]
fn series_sounds_with_and_without_a_reversed_pickup() {
    every_table_agrees(&Job::new(three_throws()), &BOTH, 1);
}

#[test]
fn a_tone_in_some_positions() {
    every_table_agrees(&Job { knob: Some(KnobAction::Tone), ..Job::new(changeover()) }, &PLAIN, 10);
    every_table_agrees(&Job { knob: Some(KnobAction::Tone), ..Job::new(both_between()) }, &PLAIN, 10);
}

#[test]
fn a_blend_in_some_positions() {
    every_table_agrees(&Job { knob: Some(blend_neck()), ..Job::new(changeover()) }, &PLAIN, 10);
    every_table_agrees(&Job { knob: Some(blend_neck()), ..Job::new(both_between()) }, &PLAIN, 10);
}

/// A switch with so many lugs on each pole, whose positions join whatever they join.
fn random_switch(poles: &'static [usize], positions: usize) -> impl Strategy<Value = Small> {
    let lugs: usize = poles.iter().sum();
    // Each lug is joined to one before it, or to none.
    let position = proptest::collection::vec(any::<proptest::sample::Index>(), lugs);
    proptest::collection::vec(position, positions).prop_map(move |positions| {
        let names = (b'a'..).zip(poles).map(|(pole, &count)| {
            let name = |place: usize| {
                if place == 0 { char::from(pole).to_string() } else { format!("{}{place}", char::from(pole)) }
            };
            (0..count).map(name).collect::<Vec<_>>()
        });
        let poles: Vec<Vec<String>> = names.collect();
        let all: Vec<&String> = poles.iter().flatten().collect();
        let joined = positions.iter().map(|choices| {
            let mut groups: Vec<Vec<String>> = Vec::new();
            for (lug, choice) in all.iter().zip(choices) {
                match groups.get_mut(choice.index(2 * all.len())) {
                    Some(group) => group.push((*lug).clone()),
                    None => groups.push(vec![(*lug).clone()]),
                }
            }
            groups.into_iter().filter(|group| group.len() > 1).collect()
        });
        let positions = joined.collect();
        Small { positions, poles }
    })
}

fn random_job() -> impl Strategy<Value = (Job, &'static [&'static str])> {
    let selector = |toggle: bool| {
        let shapes: Vec<&'static [usize]> = if toggle { vec![&[2], &[3]] } else { vec![&[3], &[2, 2], &[4]] };
        (proptest::sample::select(shapes), 2..=3usize)
            .prop_flat_map(|(poles, positions)| random_switch(poles, positions))
    };
    let knob = prop_oneof![Just(None), Just(Some(KnobAction::Tone)), Just(Some(blend_neck()))];
    let sounds = prop_oneof![Just(&PLAIN[..]), Just(&SERIES[..]), Just(&REVERSED[..])];
    let plain = (selector(false), knob, sounds.clone()).prop_map(|(selector, knob, sounds)| {
        // With a knob and a ground lead that is lifted there are too many wirings for four lugs.
        let knob = knob.filter(|_| sounds.len() == PLAIN.len() || selector.lugs().count() < 4);
        (Job { knob, ..Job::new(selector) }, sounds)
    });
    let toggled = (selector(true), random_switch(&[2], 2), sounds).prop_map(|(selector, toggle, sounds)| {
        (
            Job { toggle: Some(toggle), ..Job::new(selector) },
            if sounds.len() == PLAIN.len() { sounds } else { &SERIES[..] },
        )
    });
    prop_oneof![2 => plain, 1 => toggled]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Of tables that some wiring gives, and of those with one sound changed.
    #[test]
    fn random_switches_and_random_tables(
        (job, sounds) in random_job(),
        picks in proptest::collection::vec((any::<proptest::sample::Index>(), any::<proptest::sample::Index>(), any::<proptest::sample::Index>()), 6),
    ) {
        let mut truth = Truth::new(&job);
        let lifted = [false, sounds.len() > PLAIN.len()];
        let tables: Vec<Vec<Cell>> = truth.wirings(lifted).tables().cloned().collect();
        for (table, place, sound) in picks {
            let mut cells: Vec<Cell> = tables[table.index(tables.len())].clone();
            cells.iter_mut().for_each(|(words, _)| *words = words.replace(" over ", " in series with "));
            if is_searched(&job, &cells) {
                agrees(&job, &mut truth, &cells);
            }
            let cell = place.index(cells.len());
            cells[cell] = (sounds[sound.index(sounds.len())].to_string(), false);
            if is_searched(&job, &cells) {
                agrees(&job, &mut truth, &cells);
            }
        }
    }
}
