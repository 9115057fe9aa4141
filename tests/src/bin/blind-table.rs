//! Prints what a wrong document costs and what calibrating it by the takes themselves wins back.
//!
//! `cargo run --release -p dryfit-tests --bin blind-table [SEED..] [WAY..] [CHANGE..] [causes]`; ways and changes as in `following-table`.
//! `causes` tells what each thing that is wrong costs by itself. Constants were chosen with seeds up to 40.

use dryfit_dsp::document::Guitar;
use dryfit_tests::blind::{Wrong, calibrated, distance, misdescribed, ruled};
use dryfit_tests::calibration::{Playing, Truth, session};
use dryfit_tests::following::{Way, changes, guitar, means, recording, takes};
use rayon::prelude::*;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let seeds: Vec<u64> = words.iter().filter_map(|word| word.parse().ok()).collect();
    let ways: Vec<Way> =
        [Way::Live, Way::Whole].into_iter().filter(|way| words.contains(&format!("{way:?}").to_lowercase())).collect();
    let guitar = guitar();
    let names: Vec<&str> = changes(&guitar).iter().map(|change| change.name).collect();
    let named: Vec<&str> = names.into_iter().filter(|name| words.iter().any(|word| word == name)).collect();
    for seed in if seeds.is_empty() { vec![61] } else { seeds } {
        for name in if named.is_empty() { vec!["bridge to neck"] } else { named.clone() } {
            for &way in if ways.is_empty() { &[Way::Whole][..] } else { &ways } {
                table(&guitar, seed, name, way, words.iter().any(|word| word == "causes"));
            }
        }
    }
}

fn table(guitar: &Guitar, seed: u64, name: &str, way: Way, causes: bool) {
    let change = |guitar: &Guitar| {
        changes(guitar).into_iter().find(|change| change.name == name).expect("it was found by its name")
    };
    let right = change(guitar);
    let played = takes(guitar, seed);
    let recordings: Vec<Vec<f32>> =
        played.iter().enumerate().map(|(at, played)| recording(&right, played, at as u64 + 1)).collect();
    let position = right.recorded.controls.position;
    let sounds = usize::from(position - 1) / 2;
    let wrong = misdescribed(guitar, seed, Wrong::ALL);
    let of = |described: &(dyn Fn(usize) -> Guitar + Sync)| -> Vec<f64> {
        let one = |at: usize| distance(&right, &change(&described(at)), &recordings[at], &played[at], way);
        (0..played.len()).into_par_iter().map(one).collect()
    };
    println!("seed {seed}, {name}, {way:?}: dB rms per third octave and 50 ms, single lines | chords, then the takes");
    let row = |title: &str, of_takes: &[f64]| {
        let [lines, chords] = means(of_takes);
        let each: Vec<String> = of_takes.iter().map(|distance| format!("{distance:5.2}")).collect();
        println!("  {title:32} {lines:5.2} | {chords:5.2}   {}", each.join(" "));
    };
    row("right document", &of(&|_| guitar.clone()));
    row("wrong document", &of(&|_| wrong.clone()));
    if causes {
        let others: [bool; 3] = std::array::from_fn(|pickup| pickup != sounds);
        let only = |wrong: Wrong| misdescribed(guitar, seed, wrong);
        let tuning = only(Wrong { tuning: true, ..Wrong::NOTHING });
        row("wrong in tuning", &of(&|_| tuning.clone()));
        let stiffness = only(Wrong { stiffness: true, ..Wrong::NOTHING });
        row("wrong in stiffness", &of(&|_| stiffness.clone()));
        let sounding = only(Wrong { distances: others.map(|other| !other), ..Wrong::NOTHING });
        row("wrong where the pickup sounds", &of(&|_| sounding.clone()));
        let silent = only(Wrong { distances: others, ..Wrong::NOTHING });
        row("wrong where others are", &of(&|_| silent.clone()));
    }
    let all: Vec<&[f32]> = recordings.iter().map(Vec::as_slice).collect();
    let joined = calibrated(&wrong, position, &all).guitar;
    let single: Vec<Guitar> = recordings.par_iter().map(|take| calibrated(&wrong, position, &[take]).guitar).collect();
    let others: Vec<usize> = (0..3).filter(|&pickup| pickup != sounds).collect();
    let with_ruler = |document: &Guitar| ruled(document.clone(), guitar, &others);
    row("calibrated by all takes", &of(&|_| joined.clone()));
    row("calibrated by each take alone", &of(&|at| single[at].clone()));
    row("wrong, a ruler for the others", &of(&|_| with_ruler(&wrong)));
    row("all takes, a ruler for the others", &of(&|_| with_ruler(&joined)));
    row("each alone, a ruler for the others", &of(&|at| with_ruler(&single[at])));
    let untouched = calibrated(guitar, position, &all).guitar;
    row("right, then calibrated by all", &of(&|_| untouched.clone()));
    let truth = Truth { guitar: guitar.clone(), described: wrong };
    let passes = session(&truth, &Playing::careful(), seed).guitar;
    row("calibrated by a pass a position", &of(&|_| passes.clone()));
}
