//! Prints how many notes are named right as they play: `cargo run --release -p dryfit-tests --bin naming-table [FIRST [COUNT]]`, seeds from
//! the first on; what was tuned was tuned on 40 to 42.

use dryfit_dsp::following::Follower;
use dryfit_tests::naming::{AFTER, Material, Mistakes, named};
use rayon::prelude::*;

const MATERIALS: [Material; 4] = [Material::SingleNotes, Material::Stops(2), Material::Stops(3), Material::PowerChords];
const DESCRIBED: [(&str, Mistakes); 3] = [
    ("calibrated", Mistakes { cents: 0.0, stiffness: 0.0 }),
    ("10 cents off", Mistakes { cents: 10.0, stiffness: 0.0 }),
    ("stiffness 20 % off", Mistakes { cents: 0.0, stiffness: 0.2 }),
];
/// Bridge and neck.
const POSITIONS: [u8; 2] = [1, 5];

fn main() {
    let mut arguments = std::env::args().skip(1).map(|argument| argument.parse::<u64>().expect("a whole number"));
    let first = arguments.next().unwrap_or(340);
    let count = arguments.next().unwrap_or(4);
    println!("% of notes named right; heard at their pitch on whichever string, after {AFTER:?} s; notes");
    let mut rows = Vec::new();
    for (title, mistakes) in DESCRIBED {
        for position in POSITIONS {
            rows.extend(MATERIALS.map(|material| (title, mistakes, position, material)));
        }
    }
    let of_row = |&(title, mistakes, position, material): &(&str, Mistakes, u8, Material)| {
        let named = named(Follower::live, material, mistakes, position, first..first + count);
        let shares = |counts: [usize; AFTER.len()]| {
            let share = |count: usize| format!("{:5.1}", 100.0 * count as f64 / named.notes as f64);
            counts.map(share).join(" ")
        };
        let what = format!("{title}, position {position}, {material:?}");
        format!("{what:46} {}   {}   {}", shares(named.right), shares(named.pitched), named.notes)
    };
    let lines: Vec<String> = rows.par_iter().map(of_row).collect();
    lines.iter().for_each(|line| println!("{line}"));
}
