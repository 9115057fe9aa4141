//! The survey in the sheet: what `dryfit survey` prints, whole.

use dryfit_bundler::survey::{Survey, text};
use dryfit_dsp::circuit::{Controls, combinations};
use dryfit_dsp::find::{Effect, read_row};
use dryfit_dsp::survey::{DUPLICATE_DB, DUPLICATE_ERROR, DUPLICATE_SOURCE, Flag, JUMP_DB, JUMP_SOURCE, Surveyor};
use dryfit_dsp::units::{Quantity, parse};
use dryfit_tests::circuits::assembly;

use super::html::{page_of, parsed, surveyed, tables_in, text as text_of};

const WIRINGS: [&str; 3] = ["five-way-two-tones", "five-way-outer-pair-series", "five-way-neck-blend"];

/// All that the command prints, but for the spaces that lay it out.
#[test]
fn the_sheet_has_every_word_that_the_command_prints() {
    for wiring in WIRINGS {
        let survey = surveyed(&assembly(wiring, "three-single-coils"));
        let page = text_of(&parsed(&page_of(&survey, "x")).document);
        let flat = |text: &str| text.chars().filter(|c| c.is_alphanumeric() || "+-%".contains(*c)).collect::<String>();
        let page = flat(&page);
        // The first line names wiring and guitar, as the head of the sheet does.
        for line in text(&survey).lines().skip(1).filter(|line| !line.is_empty()) {
            for words in line.split("  ").filter(|words| !words.trim().is_empty()) {
                let words = flat(words.trim_start_matches("note:"));
                assert!(page.contains(&words), "{wiring}: `{words}` of `{line}` is not on the sheet");
            }
        }
    }
}

/// Against the surveyor itself, to half of the last digit that is shown (10 Hz of kilohertz, 0.1 dB, 0.01 uV).
#[test]
fn the_figures_of_every_position_and_switch_are_those_of_the_surveyor() {
    for wiring in WIRINGS {
        let assembly = assembly(wiring, "three-single-coils");
        let dom = parsed(&page_of(&surveyed(&assembly), "x"));
        let tables: Vec<_> =
            tables_in(&dom).into_iter().filter(|rows| rows[0].contains(&"nearest other".into())).collect();
        let mut surveyor = Surveyor::new(&assembly).unwrap();
        let states: Vec<Controls> =
            combinations(&assembly.controls).filter(|controls| controls.position == 1).collect();
        assert_eq!(tables.len(), states.len());
        for (table, controls) in tables.iter().zip(states) {
            let figures = surveyor.positions(&controls).unwrap();
            assert_eq!(table.len(), 1 + figures.len());
            for (row, figures) in table[1..].iter().zip(figures) {
                let resonance = figures.resonance.unwrap();
                let shown: Vec<f64> = [2, 3, 4, 5, 7].iter().map(|&column| number(&row[column])).collect();
                let near =
                    |shown: f64, value: f64, step: f64| assert!((shown - value).abs() <= 0.5001 * step, "{row:?}");
                near(shown[0], resonance.hertz, if resonance.hertz < 1e3 { 1.0 } else { 10.0 });
                near(shown[1], resonance.height_db, 0.1);
                near(shown[2], figures.bandwidth, if figures.bandwidth < 1e3 { 1.0 } else { 10.0 });
                near(shown[3], figures.level_db, 0.1);
                near(shown[4], figures.noise * 1e6, 0.01);
                let dc = parse(row[8].split_whitespace().next().unwrap(), Quantity::Resistance).unwrap();
                assert!((dc / figures.dc.nominal - 1.0).abs() < 5.1e-3, "three digits: {row:?}");
            }
        }
    }
}

/// The number at the head of a cell, `4.05 kHz` in hertz.
fn number(cell: &str) -> f64 {
    let mut words = cell.split_whitespace();
    let value: f64 = words.next().unwrap().parse().unwrap_or_else(|_| panic!("no number: {cell}"));
    if words.next() == Some("kHz") { value * 1e3 } else { value }
}

/// A row for each knob in each position where turning it does something other than turning all down, and no others.
#[test]
fn every_knob_that_does_something_is_surveyed_turned_down() {
    for wiring in WIRINGS {
        let assembly = assembly(wiring, "three-single-coils");
        let dom = parsed(&page_of(&surveyed(&assembly), "x"));
        let shown: Vec<[String; 2]> = tables_in(&dom)
            .into_iter()
            .filter(|rows| rows[0].contains(&"knob on 0".into()))
            .flat_map(|rows| rows.into_iter().skip(1).map(|row| [row[0].clone(), row[1].clone()]))
            .collect();
        let mut ways: Vec<Controls> = combinations(&assembly.controls).collect();
        ways.sort_by_key(|controls| (controls.switches, controls.position));
        let mut expected = Vec::new();
        for controls in ways {
            for (label, effect) in assembly.controls.knobs.iter().zip(read_row(&assembly, &controls).knobs) {
                let label = label.clone().unwrap_or_default();
                if !matches!(effect, Effect::Nothing | Effect::Volume) {
                    expected.push([controls.position.to_string(), label]);
                }
            }
        }
        assert!(!expected.is_empty() && shown == expected, "{wiring}: {shown:?}, not {expected:?}");
    }
}

#[test]
fn what_deserves_a_look_is_flagged_with_its_threshold_and_where_that_is_from() {
    let mut survey = surveyed(&assembly("five-way-two-tones", "three-single-coils"));
    survey.states[0].flags = vec![
        Flag::NearDuplicates { first: 1, second: 2 },
        Flag::LevelJump { from: 2, step_db: -4.2 },
        Flag::Silent { position: 5 },
    ];
    let page = text_of(&parsed(&page_of(&survey, "x")).document);
    let thresholds = [format!("{:.0} % and {DUPLICATE_DB:.0} dB", 100.0 * DUPLICATE_ERROR), format!("{JUMP_DB:.0} dB")];
    for words in [
        "positions 1 and 2 can hardly be told apart",
        &thresholds[0],
        DUPLICATE_SOURCE,
        "jumps by -4.2 dB from position 2 to 3",
        &thresholds[1],
        JUMP_SOURCE,
        "nothing sounds in position 5",
    ] {
        assert!(page.contains(words), "{words}");
    }
}

/// What is not tried is not shown: no empty table, no figure of guitars that were never built.
#[test]
fn without_trials_there_is_no_table_of_tolerances() {
    let mut survey = surveyed(&assembly("two-pickups", "two-single-coils"));
    let with = text(&survey);
    survey = Survey::new(
        &survey.assembly,
        &Controls::default(),
        [true; Controls::SWITCHES],
        dryfit_dsp::survey::Tolerances { trials: 0, seed: 1 },
    )
    .unwrap();
    let without = text(&survey);
    assert!(with.contains("guitars built") && !without.contains("guitars built") && without.len() < with.len());
}
