//! Wirings that were found for a table are drawn as well as those that were laid out by hand.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use dryfit_dsp::document::{Assembly, DocumentKind, Library, Sounds};
use dryfit_dsp::drawing::{TextRole, View};
use dryfit_dsp::find::{Effort, Outcome, find};

use super::drawings;
use super::legible::faults;
use super::wires::{joined, wanted};

const ORDINARY: &str = "1 = 'bridge'\n2 = 'bridge + middle'\n3 = 'middle'\n4 = 'neck + middle'\n5 = 'neck'\n";
const OUTER_PAIR: &str = "1 = 'bridge'\n2 = 'bridge + middle'\n3 = 'neck + bridge'\n4 = 'neck + middle'\n5 = 'neck'\n";
const SERIES: &str =
    "[switches.series.up]\n5 = 'neck in series with bridge'\n4 = 'neck in series with bridge + middle'\n";
const PHASE: &str =
    "[switches.phase.up]\n2 = 'bridge + reversed middle'\n3 = 'reversed middle'\n4 = 'neck + reversed middle'\n";
const NECK_ON: &str =
    "[switches.'neck on'.up]\n1 = 'bridge + neck'\n2 = 'bridge + middle + neck'\n3 = 'middle + neck'\n";
const THREE_AT_ONCE: &str = "1 = 'bridge'\n2 = 'bridge + middle'\n3 = 'middle'\n4 = 'neck + middle'\n5 = '(neck + middle) in series with bridge'\n";

/// Name, switch, positions, knobs besides volume and tone, switches.
const TABLES: [(&str, &str, &str, &str, &str); 12] = [
    ("ordinary", "lever-5-position", ORDINARY, "", ""),
    ("two tones", "lever-5-position", ORDINARY, "'neck tone' = 'tone in 4 5'\n", ""),
    ("a blend with the bridge", "lever-5-position", ORDINARY, "blend = 'blend neck in 1 2'\n", ""),
    ("a blend in 1", "lever-2-pole-5-position", ORDINARY, "blend = 'blend neck in 1'\n", ""),
    ("an outer pair", "lever-2-pole-5-position", OUTER_PAIR, "", ""),
    ("an outer pair and a blend", "lever-2-pole-5-position", OUTER_PAIR, "blend = 'blend neck in 1'\n", ""),
    ("four poles", "lever-4-pole-5-position", OUTER_PAIR, "blend = 'blend neck in 1'\n", ""),
    ("series", "lever-5-position", ORDINARY, "", SERIES),
    ("phase", "lever-5-position", ORDINARY, "", PHASE),
    ("neck on", "lever-5-position", ORDINARY, "blend = 'blend neck in 1 2'\n", NECK_ON_WITH_BLEND),
    ("phase on two poles", "lever-2-pole-5-position", OUTER_PAIR, "", PHASE_OF_PAIR),
    ("brackets", "lever-2-pole-5-position", THREE_AT_ONCE, "", ""),
];

/// With the neck on there is nothing left for the blend to feed in.
const NECK_ON_WITH_BLEND: &str = "[switches.'neck on'.up]\n1 = 'bridge + neck'\n2 = 'bridge + middle + neck'\n3 = 'middle + neck'\nknobs = { blend = 'nothing' }\n";
const PHASE_OF_PAIR: &str =
    "[switches.phase.up]\n3 = 'reversed neck + bridge'\n4 = 'reversed neck + middle'\n5 = 'reversed neck'\n";

const TWO_PUSH_PULLS: &str = "two push-pulls";

/// A wiring for each of the tables, and one with two push-pulls.
pub fn found() -> Vec<(String, Assembly)> {
    static FOUND: OnceLock<Vec<(String, Assembly)>> = OnceLock::new();
    FOUND.get_or_init(search).clone()
}

fn search() -> Vec<(String, Assembly)> {
    let two = format!("{NECK_ON}{PHASE_ALONE}");
    let tables =
        TABLES.iter().map(|&(name, switch, positions, knobs, switches)| (name, switch, positions, knobs, switches));
    let tables = tables.chain([(TWO_PUSH_PULLS, "lever-5-position", ORDINARY, "", two.as_str())]);
    tables.map(|(name, switch, positions, knobs, switches)| {
        let text = format!("format = 1\ntitle = '{name}'\n[positions]\n{positions}[knobs]\nvolume = 'volume'\ntone = 'tone'\n{knobs}{switches}");
        (name.to_string(), wiring(&text, switch))
    }).collect()
}

/// A phase switch that says of every position what it does, so that nothing is asked where another switch says otherwise.
const PHASE_ALONE: &str = "[switches.phase.up]\n1 = 'bridge'\n2 = 'bridge + middle'\n3 = 'middle'\n4 = 'reversed neck + middle'\n5 = 'reversed neck'\n";

fn wiring(table: &str, switch: &str) -> Assembly {
    let mut library = Library::presets();
    let sounds = Sounds::read("table", table).unwrap_or_else(|problems| panic!("{problems}\n{table}"));
    let guitar = library.guitar("three-single-coils").unwrap();
    let effort = Effort { solutions: 1, ..Effort::default() };
    let outcome =
        find(&library, &sounds, &guitar, Some(switch), effort, &mut |_, _| std::ops::ControlFlow::Continue(()));
    let Ok(Outcome::Found(found)) = outcome else { panic!("{outcome:?}\n{table}") };
    library.insert(DocumentKind::Wiring, "found", "found", &found.wiring);
    Assembly::read_on(&library, "found", &guitar).unwrap_or_else(|problems| panic!("{problems}\n{}", found.wiring))
}

#[test]
fn both_drawings_of_every_found_wiring_are_legible_and_show_every_wire_with_its_number() {
    for (name, assembly) in found() {
        for drawing in drawings(&assembly) {
            let faults = faults(&drawing);
            assert!(faults.is_empty(), "{name}, {:?}: {faults:#?}", drawing.view);
            assert_eq!(joined(&drawing), wanted(&assembly), "{name}, {:?}", drawing.view);
            if drawing.view == View::Pictorial {
                let numbers = drawing.texts.iter().filter(|text| text.role == TextRole::Number);
                let numbers: BTreeSet<&str> = numbers.map(|text| text.text.as_str()).collect();
                assert_eq!(numbers.len(), drawing.wires.len(), "{name}");
            }
        }
    }
}

/// The bounds of the presets, `crossings_stay_few`. No preset has two push-pulls: with twelve lugs more than any of them, that
/// wiring has 26 crossings in the pictorial diagram, and is left out.
#[test]
fn found_wirings_cross_no_more_wires_than_presets() {
    for (name, assembly) in found().into_iter().filter(|(name, _)| name != TWO_PUSH_PULLS) {
        for drawing in drawings(&assembly) {
            let crossings: usize = drawing.wires.iter().map(|wire| wire.crossings.len()).sum();
            let most = if drawing.view == View::Pictorial { 25 } else { 10 };
            assert!(crossings <= most, "{name}, {:?}: {crossings}", drawing.view);
        }
    }
}
