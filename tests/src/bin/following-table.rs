//! Prints how far every change of pickup is off on every take of which the truth is known, by the ways of converting it.
//!
//! `cargo run --release -p dryfit-tests --bin following-table [SEED..]`; seed 21 is the one that was developed with.

use dryfit_tests::following::{Way, changes, distances, guitar, means, takes};
use rayon::prelude::*;

const WAYS: [Way; 4] = [Way::Left, Way::Static, Way::Live, Way::Whole];

fn main() {
    let seeds: Vec<u64> = std::env::args().skip(1).filter_map(|seed| seed.parse().ok()).collect();
    let guitar = guitar();
    for seed in if seeds.is_empty() { vec![21] } else { seeds } {
        println!("seed {seed}; dB rms per third octave and 50 ms, single lines | chords, then the eight takes");
        let played = takes(&guitar, seed);
        for change in changes(&guitar) {
            let rows: Vec<Vec<f64>> = played
                .par_iter()
                .enumerate()
                .map(|(i, played)| distances(&change, played, i as u64 + 1, &WAYS))
                .collect();
            for (place, way) in WAYS.iter().enumerate() {
                let of_takes: Vec<f64> = rows.iter().map(|row| row[place]).collect();
                let [lines, chords] = means(&of_takes);
                let each: Vec<String> = of_takes.iter().map(|distance| format!("{distance:5.2}")).collect();
                let way = format!("{way:?}").to_lowercase();
                println!("{:26} {way:7} {lines:5.2} | {chords:5.2}   {}", change.name, each.join(" "));
            }
        }
    }
}
