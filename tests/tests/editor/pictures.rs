//! Reference pictures of every view. `UPDATE_SNAPSHOTS=1 cargo test -p dryfit-tests --test editor` draws them anew; look at
//! each before it is committed.

use dryfit_plugin::editor::*;
use egui_kittest::SnapshotOptions;

use super::fixtures::{
    CAPACITORS, SERIES, calibrated, followed, found, impossible, measured, measuring, misfits, misread, mistaken,
    refused, resting, view, with_problems,
};
use super::stage::drawn_stage;

const NARROW: [f32; 2] = LEAST_SIZE;
const WIDE: [f32; 2] = OPENS_AT;
const LARGE: [f32; 2] = [1600.0, 1000.0];

/// Two levels of 255 in every channel come to .5053 x 2^2 in the squared YIQ distance that is compared: what another
/// processor's rounding in the software renderer may do, and nothing an eye can see. No pixel may differ more.
const THRESHOLD: f32 = 2.1;

fn picture(name: &str, model: ViewModel, memory: Memory, size: [f32; 2], pixels: f32) {
    let mut harness = drawn_stage(model, memory, size, pixels);
    harness.run();
    compare(&mut harness, name);
}

fn compare(harness: &mut egui_kittest::Harness<'static, super::stage::Stage>, name: &str) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/reference/editor");
    let options = SnapshotOptions::new().threshold(THRESHOLD).max_failed_pixels(0).output_path(folder);
    harness.snapshot_options(name, &options);
}

fn dark() -> Memory {
    Memory { theme: Theme::Dark, ..Memory::default() }
}

fn open(aside: Aside) -> Memory {
    Memory { aside: Some(aside), ..Memory::default() }
}

#[test]
fn both_benches_on_workshop_paper() {
    picture("wide-light", view(&CAPACITORS), Memory::default(), WIDE, 1.0);
}

#[test]
fn both_benches_in_a_dark_room_at_two_pixels_a_point() {
    picture("wide-dark-2x", view(&SERIES), dark(), WIDE, 2.0);
}

#[test]
fn both_benches_on_a_large_screen() {
    picture("large-light", view(&SERIES), Memory::default(), LARGE, 1.0);
}

#[test]
fn bench_a_alone_where_it_is_narrow() {
    picture("narrow-light-a", view(&CAPACITORS), Memory::default(), NARROW, 1.0);
}

#[test]
fn bench_b_alone_where_it_is_narrow_at_two_pixels_a_point() {
    let memory = Memory { front: BenchId::B, ..dark() };
    picture("narrow-dark-b-2x", view(&CAPACITORS), memory, NARROW, 2.0);
}

#[test]
fn difference_tolerance_and_what_is_under_the_pointer() {
    let memory = Memory { difference: true, bands: true, ..Memory::default() };
    let mut harness = drawn_stage(view(&CAPACITORS), memory, WIDE, 1.0);
    harness.run();
    harness.hover_at(egui::pos2(620.0, 250.0));
    harness.run();
    compare(&mut harness, "wide-light-readout");
}

#[test]
fn refused_texts_and_warnings_sit_where_their_cause_is() {
    picture("wide-light-refusals", refused(), Memory::default(), WIDE, 1.0);
}

#[test]
fn strings_and_frets_that_are_heard() {
    picture("wide-light-heard", followed(), Memory::default(), WIDE, 1.0);
}

#[test]
fn strings_and_frets_that_are_heard_where_it_is_narrow() {
    let mut model = followed();
    let HeardView::Strings(strings) = &mut model.heard else { panic!("notes are followed") };
    // One of them might be on another string as well.
    strings.iter_mut().filter_map(|string| string.note.as_mut()).nth(1).expect("a chord").sure = false;
    picture("narrow-dark-heard", model, dark(), NARROW, 1.0);
}

#[test]
fn why_no_strings_are_heard_where_nothing_is_estimated() {
    picture("narrow-light-resting", resting(), Memory::default(), NARROW, 1.0);
}

#[test]
fn as_recorded_and_the_guitar() {
    picture("aside-recorded-light", view(&SERIES), open(Aside::Recorded), WIDE, 1.0);
}

#[test]
fn as_recorded_and_the_guitar_where_it_is_narrow() {
    let memory = Memory { aside: Some(Aside::Recorded), ..dark() };
    picture("aside-recorded-dark-narrow", view(&CAPACITORS), memory, NARROW, 1.0);
}

fn step(step: CalibrationStep, memory: Memory) -> Memory {
    Memory { aside: Some(Aside::Calibration), calibration: (step, 3), ..memory }
}

#[test]
fn what_ruler_and_meter_say_with_mistakes_at_their_fields() {
    let memory = step(CalibrationStep::Measures, Memory::default());
    picture("aside-calibration-measures-light", measuring(), memory, WIDE, 1.0);
}

#[test]
fn what_ruler_and_meter_say_where_it_is_narrow() {
    picture(
        "aside-calibration-measures-dark-narrow",
        measuring(),
        step(CalibrationStep::Measures, dark()),
        NARROW,
        1.0,
    );
}

#[test]
fn recordings_of_each_position() {
    let memory = step(CalibrationStep::Recordings, Memory::default());
    picture("aside-calibration-recordings-light", calibrated(), memory, WIDE, 1.0);
}

#[test]
fn recordings_of_each_position_where_it_is_narrow() {
    let memory = step(CalibrationStep::Recordings, dark());
    picture("aside-calibration-recordings-dark-narrow", calibrated(), memory, NARROW, 1.0);
}

#[test]
fn what_recordings_said() {
    let memory = step(CalibrationStep::Found, Memory::default());
    picture("aside-calibration-found-light", calibrated(), memory, WIDE, 1.0);
}

#[test]
fn what_recordings_said_where_it_is_narrow() {
    picture("aside-calibration-found-dark-narrow", calibrated(), step(CalibrationStep::Found, dark()), NARROW, 1.0);
}

#[test]
fn what_does_not_fit_in_recordings() {
    let memory = step(CalibrationStep::Found, Memory::default());
    picture("aside-calibration-misfits-light", misfits(), memory, WIDE, 1.0);
}

#[test]
fn a_document_with_its_problems_marked() {
    let memory = open(Aside::Document(BenchId::B));
    picture("aside-document-light", with_problems(), memory, WIDE, 1.0);
}

#[test]
fn a_document_with_its_problems_where_it_is_narrow() {
    let memory = Memory { aside: Some(Aside::Document(BenchId::B)), ..dark() };
    picture("aside-document-dark-narrow", with_problems(), memory, NARROW, 1.0);
}

#[test]
fn a_blind_comparison_under_way() {
    let mut model = view(&CAPACITORS);
    model.blind = Blind::Running { answered: 5, trials: 16 };
    model.listen = Listen::X;
    picture("aside-blind-light", model, Memory::default(), WIDE, 1.0);
}

#[test]
fn the_result_of_a_blind_comparison_where_it_is_narrow() {
    let mut model = view(&CAPACITORS);
    model.blind = super::fixtures::blind_result();
    picture("aside-blind-done-dark-narrow", model, Memory { aside: Some(Aside::Blind), ..dark() }, NARROW, 1.0);
}

#[test]
fn what_the_keys_do() {
    picture("aside-keys-light-narrow", view(&CAPACITORS), open(Aside::Keys), NARROW, 1.0);
}

#[test]
fn as_many_knobs_and_switches_as_a_wiring_may_have() {
    let memory = Memory { difference: true, ..Memory::default() };
    picture("narrow-light-crowded", super::fixtures::crowded(view(&SERIES)), memory, NARROW, 1.0);
}

#[test]
fn a_wiring_drawn_from_the_lug_side() {
    picture("aside-drawing-light", view(&CAPACITORS), open(Aside::Drawing(BenchId::A)), WIDE, 1.0);
}

#[test]
fn a_wiring_as_a_schematic_in_a_dark_room() {
    let memory = Memory { aside: Some(Aside::Drawing(BenchId::B)), symbols: true, ..dark() };
    picture("aside-drawing-schematic-dark-2x", view(&SERIES), memory, WIDE, 2.0);
}

#[test]
fn a_wiring_drawn_where_it_is_narrow() {
    picture("aside-drawing-light-narrow", view(&CAPACITORS), open(Aside::Drawing(BenchId::B)), NARROW, 1.0);
}

#[test]
fn what_every_position_sounds_like_with_the_switch_down_and_up() {
    picture("aside-sounds-light", view(&SERIES), open(Aside::Sounds(BenchId::B)), WIDE, 1.0);
}

#[test]
fn what_every_position_sounds_like_where_it_is_narrow() {
    let memory = Memory { aside: Some(Aside::Sounds(BenchId::A)), ..dark() };
    picture("aside-sounds-dark-narrow", view(&CAPACITORS), memory, NARROW, 1.0);
}

#[test]
fn a_wiring_that_was_found_for_a_table() {
    picture("aside-find-light", ViewModel { find: found(), ..view(&CAPACITORS) }, open(Aside::Find), WIDE, 1.0);
}

#[test]
fn why_there_is_no_wiring_and_what_would_do_where_it_is_narrow() {
    let memory = Memory { aside: Some(Aside::Find), ..dark() };
    let model = ViewModel { find: impossible(), ..view(&CAPACITORS) };
    picture("aside-find-impossible-dark-narrow", model, memory, NARROW, 1.0);
}

#[test]
fn a_table_with_a_mistake_on_a_wide_screen() {
    let memory = Memory { aside: Some(Aside::Find), ..dark() };
    picture("aside-find-mistake-dark", ViewModel { find: mistaken(), ..view(&SERIES) }, memory, [1500.0, 950.0], 1.0);
}

#[test]
fn the_fault_behind_readings_of_a_meter() {
    picture("aside-faults-light", measured(), open(Aside::Faults(BenchId::A)), WIDE, 1.0);
}

#[test]
fn readings_that_make_no_sense_where_it_is_narrow() {
    let memory = Memory { aside: Some(Aside::Faults(BenchId::A)), ..dark() };
    picture("aside-faults-misread-dark-narrow", misread(), memory, NARROW, 1.0);
}

#[test]
fn the_fault_behind_readings_where_it_is_narrow() {
    let memory = Memory { aside: Some(Aside::Faults(BenchId::A)), ..dark() };
    picture("aside-faults-dark-narrow", measured(), memory, NARROW, 1.0);
}
