//! Prints how far every change of pickup is off on every take of which the truth is known, by the ways of converting it.
//!
//! `cargo run --release -p dryfit-tests --bin following-table [SEED..] [WAY..] [CHANGE..]`; seed 21 is the one that was
//! developed with. Ways are `left`, `static`, `live`, `ahead`, `whole`; a change is named as in the table (`"bridge to neck"`).

use dryfit_tests::following::{Way, changes, distances, guitar, means, takes};
use rayon::prelude::*;

const WAYS: [Way; 5] = [Way::Left, Way::Static, Way::Live, Way::Ahead, Way::Whole];

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let seeds: Vec<u64> = words.iter().filter_map(|word| word.parse().ok()).collect();
    let ways = chosen(&WAYS, |way| words.contains(&name(*way)));
    let guitar = guitar();
    let changes = chosen(&changes(&guitar), |change| words.iter().any(|word| word == change.name));
    for seed in if seeds.is_empty() { vec![21] } else { seeds } {
        println!("seed {seed}; dB rms per third octave and 50 ms, single lines | chords, then the eight takes");
        let played = takes(&guitar, seed);
        for change in &changes {
            let rows: Vec<Vec<f64>> = played
                .par_iter()
                .enumerate()
                .map(|(i, played)| distances(change, played, i as u64 + 1, &ways))
                .collect();
            for (place, way) in ways.iter().enumerate() {
                let of_takes: Vec<f64> = rows.iter().map(|row| row[place]).collect();
                let [lines, chords] = means(&of_takes);
                let each: Vec<String> = of_takes.iter().map(|distance| format!("{distance:5.2}")).collect();
                println!("{:26} {:7} {lines:5.2} | {chords:5.2}   {}", change.name, name(*way), each.join(" "));
            }
        }
    }
}

/// Those that are wanted; all when none is named.
fn chosen<T: Clone>(all: &[T], wanted: impl Fn(&T) -> bool) -> Vec<T> {
    let some: Vec<T> = all.iter().filter(|one| wanted(one)).cloned().collect();
    if some.is_empty() { all.to_vec() } else { some }
}

fn name(way: Way) -> String {
    format!("{way:?}").to_lowercase()
}
