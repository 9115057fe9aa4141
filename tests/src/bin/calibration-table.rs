//! How well calibration finds a guitar again: `cargo run --release -p dryfit-tests --bin calibration-table [FIRST [COUNT]]`.

use dryfit_tests::calibration::{Errors, Playing, guitar, session};
use rayon::prelude::*;

fn main() {
    let mut arguments = std::env::args().skip(1).map(|argument| argument.parse::<u64>().expect("a whole number"));
    let first = arguments.next().unwrap_or(1000);
    let count = arguments.next().unwrap_or(8);
    let careful = Playing::careful();
    let alone = Playing { positions: vec![1, 3, 5], ..Playing::careful() };
    let sloppy = Playing { wrong: 0.2, ..Playing::careful() };
    let noisy = Playing { noise_db: -50.0, ..Playing::careful() };
    for (title, playing) in
        [("five positions", &careful), ("three positions", &alone), ("20 % wrong", &sloppy), ("-50 dB", &noisy)]
    {
        let run = |seed: u64| {
            let truth = guitar(seed);
            let found = session(&truth, playing, seed);
            if !found.complaints.is_empty() {
                println!("seed {seed}: {:?}", found.complaints);
            }
            Errors::new(&truth, &found)
        };
        let all: Vec<Errors> = (first..first + count).into_par_iter().map(run).collect();
        println!("{title}, {count} guitars");
        for pickup in 0..3 {
            let values = all.iter().flat_map(|errors| errors.distances[pickup]).collect();
            row(&format!("distance of pickup {pickup}, mm"), values, 1.5);
        }
        row("tuning, cents", all.iter().flat_map(|errors| errors.tuning.clone()).collect(), 2.0);
        row("stiffness, ln", all.iter().flat_map(|errors| errors.stiffness.clone()).collect(), 0.05);
        row("level, dB", all.iter().flat_map(|errors| errors.level.clone()).collect(), 0.5);
        row("voicing, dB", all.iter().flat_map(|errors| errors.voicing.concat()).collect(), 1.0);
        row("null depth, dB", all.iter().flat_map(|errors| errors.depth.clone()).collect(), 2.0);
        row("sensing width, mm", all.iter().flat_map(|errors| errors.width.clone()).collect(), 2.0);
    }
}

/// Mean and largest error, share within the bound, share within twice the stated standard deviation.
fn row(title: &str, values: Vec<(f64, f64)>, bound: f64) {
    let count = values.len() as f64;
    let mean = values.iter().map(|value| value.0.abs()).sum::<f64>() / count;
    let bias = values.iter().map(|value| value.0).sum::<f64>() / count;
    let largest = values.iter().map(|value| value.0.abs()).fold(0.0, f64::max);
    let within = values.iter().filter(|value| value.0.abs() <= bound).count() as f64 / count;
    let covered = values.iter().filter(|value| value.0.abs() <= 2.0 * value.1).count() as f64 / count;
    let sd = values.iter().map(|value| value.1).sum::<f64>() / count;
    println!(
        "  {title:28} mean {mean:6.3}  bias {bias:6.3}  worst {largest:6.3}  within {bound}: {:3.0} %  stated sd {sd:6.3}, within 2 sd: {:3.0} %",
        100.0 * within,
        100.0 * covered
    );
}
