//! Conversions held against takes of which the truth is known.
//!
//! The takes are synthesised for all pickups at once (stiff strings, `dsp::string::synthesis`), so the truth of every other
//! setting exists. The source of the bounds is the numerical study behind the design (its tables are quoted beside them).

use dryfit_bundler::arguments::Follow;
use dryfit_bundler::trust;
use dryfit_dsp::conversion::{Conversion, Grid, Recorded};
use dryfit_dsp::document::{DocumentKind, Guitar, Library};
use dryfit_dsp::string::performances;
use dryfit_tests::following::{self, Way};
use dryfit_tests::ground_truth::{SAMPLE_RATE, Stand, play};
use dryfit_tests::metrics::{largest_band_difference, log_spectral_distance};
use rayon::prelude::*;

const RATE: f64 = SAMPLE_RATE as f64;

fn guitar() -> Guitar {
    Library::presets().guitar("three-single-coils").unwrap()
}

fn bridge_alone(guitar: &Guitar) -> Stand {
    Stand::new("five-way-two-tones", guitar, 1)
}

/// Where the same pickup sounds, the conversion follows from the circuit alone. 0.1 dB is the bound, a tenth of what
/// is heard on a curve.
#[test]
fn a_bridge_take_becomes_every_other_setting_of_the_bridge_within_0_1_db() {
    let guitar = guitar();
    let recorded = bridge_alone(&guitar);
    let played = play(&guitar, &performances::demo(), 3);
    let take = recorded.truth(&played);
    let mut worst = (0.0f64, 0.0f64);
    for option in bridge_settings(&guitar) {
        let what = format!("{} with {:?}", option.assembly.title, option.controls);
        assert!(is_exact(&recorded, &option), "{what} sounds with the bridge alone");
        let (heard, truth) = (recorded.convert(&take, &option), option.truth(&played));
        let off = largest_band_difference(&heard, &truth, RATE);
        let distance = log_spectral_distance(&heard, &truth, RATE);
        worst = (off.max(worst.0), distance.max(worst.1));
        assert!(off < 0.1, "{off:.3} dB in a third octave: {what}");
        assert!(distance < 0.1, "{distance:.3} dB rms over bands and frames: {what}");
    }
    println!("at most {:.6} dB in a third octave, {:.6} dB rms over bands and frames", worst.0, worst.1);
}

/// Every preset in position 1 with what leaves the bridge alone, and knobs that only change its circuit.
fn bridge_settings(guitar: &Guitar) -> Vec<Stand> {
    let library = Library::presets();
    let mut settings = Vec::new();
    for name in library.names(DocumentKind::Wiring) {
        let stand = Stand::new(name, guitar, 1);
        let knobs: Vec<String> = stand.assembly.controls.knobs.iter().flatten().cloned().collect();
        let mut candidates = vec![stand.clone()];
        candidates.extend(knobs.iter().flat_map(|label| [7.0, 3.0].map(|to| stand.clone().turned(label, to))));
        settings.extend(candidates.into_iter().filter(|option| is_exact(&bridge_alone(guitar), option)));
    }
    assert!(settings.len() >= 30, "only {} settings with the bridge alone", settings.len());
    settings
}

fn is_exact(recorded: &Stand, option: &Stand) -> bool {
    let grid = Grid::up_to(RATE / 2.0);
    let recorded = Recorded::new(&recorded.assembly, &recorded.controls, &grid).unwrap();
    Conversion::new(&recorded, &option.assembly).unwrap().assess(&option.controls).exact
}

/// Other pickups are estimated. This is the yardstick: the error against truth, single lines and chords, with the take left
/// as it is beside it.
///
/// The study behind the design found 8.4 | 6.6 dB for the take left as it is, 6.75 | 4.2 dB for the best static filter and
/// 2.7 | 2.7 dB with the notes followed in real time (bridge take to neck; 8.1 | 6.7, 6.6 | 4.5 and 2.9 | 2.9 with the realism
/// on, its `F14.txt`). Our performances are others, so 1 dB is granted to the static filter. Following has to be better than
/// that by 1.6 times on single lines and 1.3 times on chords and be off by 2.9 | 2.8 dB at most as a take plays, and by 2.6 | 2.5 dB with
/// the whole take known. The same is held looking ahead, of which `design.md` expects "most of what knowing the whole take brings".
#[test]
fn a_take_becomes_another_pickup_as_the_table_says() {
    let guitar = following::guitar();
    let played = following::takes(&guitar, 21);
    let ways = [Way::Left, Way::Static, Way::Live, Way::Ahead, Way::Whole];
    println!(
        "{:28} {:>15}   {:>15}   {:>15}   {:>15}   {:>15}",
        "dB rms per third octave", "left as it is", "static", "live", "ahead", "whole"
    );
    let mut mean = [[0.0; 2]; 5];
    for change in following::changes(&guitar) {
        let name = change.name;
        let of_take = |(i, played)| following::distances(&change, played, i as u64 + 1, &ways);
        let rows: Vec<Vec<f64>> = played.par_iter().enumerate().map(of_take).collect();
        let [left, still, live, ahead, whole] =
            [0, 1, 2, 3, 4].map(|way| following::means(&rows.iter().map(|row| row[way]).collect::<Vec<_>>()));
        println!(
            "{name:28} {:6.2} | {:6.2}   {:6.2} | {:6.2}   {:6.2} | {:6.2}   {:6.2} | {:6.2}   {:6.2} | {:6.2}",
            left[0], left[1], still[0], still[1], live[0], live[1], ahead[0], ahead[1], whole[0], whole[1]
        );
        assert!(still[0] < left[0] && still[1] < left[1], "{name}: converting made it worse");
        assert!(still[0] / live[0] >= 1.6 && still[1] / live[1] >= 1.3, "{name}: following gains too little");
        assert!(ahead[0] < live[0] && ahead[1] < live[1], "{name}: looking ahead is no use");
        assert!(live[0] < 2.9 && live[1] < 2.8, "{name}: {live:.2?} as it plays");
        assert!(ahead[0] < 2.6 && ahead[1] < 2.5, "{name}: {ahead:.2?} looking ahead");
        assert!(whole[0] < 2.6 && whole[1] < 2.5, "{name}: {whole:.2?} with the whole take known");
        assert!(whole[0] < live[0] && whole[1] < live[1], "{name}: knowing the whole take is no use");
        if name == "bridge to neck" {
            assert!(still[0] < 6.6 + 1.0 && still[1] < 4.5 + 1.0, "{name}: {still:?}");
        }
        if !name.contains("blend") {
            for (sum, of_way) in mean.iter_mut().zip([left, still, live, ahead, whole]) {
                sum.iter_mut().zip(of_way).for_each(|(sum, value)| *sum += value / 7.0);
            }
        }
    }
    check_what_people_are_told(mean[1], Follow::Off);
    check_what_people_are_told(mean[2], Follow::Live);
    check_what_people_are_told(mean[3], Follow::Ahead);
    check_what_people_are_told(mean[4], Follow::Whole);
}

/// The figures are told to the half dB.
fn check_what_people_are_told([lines, chords]: [f64; 2], follow: Follow) {
    let told = trust::off(follow);
    println!("mean over seven changes of pickup, {follow:?}: {lines:.2} | {chords:.2}");
    assert!((lines - told.lines_db).abs() < 0.5, "people are told {} dB, not {lines:.2} dB: {follow:?}", told.lines_db);
    assert!(
        (chords - told.chords_db).abs() < 0.5,
        "people are told {} dB, not {chords:.2} dB: {follow:?}",
        told.chords_db
    );
}
