//! What following costs. Budgets at 48 kHz, two benches, dry and loudness: 5 % of a core at 64-sample blocks, and no block more
//! than 25 % of its time.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_dsp::conversion::{Conversion, Grid, Places, Recorded};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_dsp::following::{Follower, Source};
use dryfit_dsp::string::{Performance, performances};
use dryfit_tests::benches::is_tried;
use dryfit_tests::following::guitar;
use dryfit_tests::ground_truth::{Stand, play};

const RATE: f64 = 48_000.0;
const BLOCK: usize = 64;
/// Blocks after which the work repeats: 16 steps of the control grid.
const PERIOD: usize = 8;

/// How a follower is made.
type Make = fn(&Source, f64) -> Follower;
/// The followers that hear a take as it comes.
const FOLLOWERS: [(&str, Make); 2] = [("live", Follower::live), ("ahead", Follower::ahead)];

fn engine(make: Make) -> Engine<Conversion> {
    let guitar = guitar();
    let bridge = Stand::new("five-way-two-tones", &guitar, 1);
    let recorded = Recorded::new(&bridge.assembly, &bridge.controls, &Grid::up_to(RATE / 2.0)).expect("it sounds");
    let follower = make(&Source::new(&guitar, recorded.responses(), recorded.grid()), RATE);
    let recorded = recorded.followed(Arc::new(Places::new(&guitar, follower.size().lattice().hertz())));
    let conversion = |wiring| {
        let option = Stand::new(wiring, &guitar, 1).assembly;
        Conversion::new(&recorded, &option).expect("presets have a solution")
    };
    let targets = vec![conversion("five-way-two-tones"), conversion("five-way-outer-pair")];
    Engine::new(RATE, 2, targets).following(follower)
}

fn take(performance: &Performance) -> Vec<f32> {
    play(&guitar(), performance, 3).pickups.swap_remove(0)
}

fn blocks(criterion: &mut Criterion) {
    for (name, performance) in [("line", performances::across_strings()), ("chords", performances::strummed_chords())] {
        for ((follower, make), position) in FOLLOWERS.into_iter().flat_map(|follower| [(follower, 1), (follower, 4)]) {
            let input = take(&performance);
            let mut engine = engine(make);
            let mut scene = Scene { listen: Listen::A, loudness_match: true, follow: true, ..Scene::default() };
            scene.controls.position = position;
            let mut times = Vec::new();
            for _ in 0..if is_tried() { 1 } else { 5 } {
                for block in input.chunks_exact(BLOCK) {
                    let (mut left, mut right) = (block.to_vec(), block.to_vec());
                    let start = Instant::now();
                    engine.process(&scene, &mut [&mut left, &mut right]);
                    times.push(start.elapsed());
                    black_box((left, right));
                }
            }
            let what = if position == 1 { "bench A exact" } else { "both benches estimated" };
            report(&format!("{name}, {follower}, {what}"), &mut times);
        }
    }
    let mut group = criterion.benchmark_group("following");
    group.sample_size(10);
    for (follower, make) in FOLLOWERS {
        let name = format!("prepare a guitar, {follower}");
        group.bench_function(name, |bencher| bencher.iter(|| black_box(engine(make))));
    }
    group.finish();
}

/// Prints mean and percentiles of single blocks in per cent of the time a block lasts, and the median of the blocks at each place of
/// the period.
fn report(name: &str, times: &mut [Duration]) {
    let percent = |time: Duration| 100.0 * time.as_secs_f64() * RATE / BLOCK as f64;
    let median = |place: usize| {
        let mut times: Vec<Duration> = times.iter().skip(place).step_by(PERIOD).copied().collect();
        times.sort_unstable();
        times[times.len() / 2]
    };
    let places: Vec<String> = (0..PERIOD).map(|place| format!("{:.1}", percent(median(place)))).collect();
    let mean = percent(times.iter().sum::<Duration>() / times.len() as u32);
    times.sort_unstable();
    let at = |share: f64| percent(times[((times.len() - 1) as f64 * share) as usize]);
    println!(
        "{name}: mean {mean:.2} %, median {:.2} %, 99 % {:.2} %, 99.9 % {:.2} %, worst {:.2} %; by place {} %",
        at(0.5),
        at(0.99),
        at(0.999),
        at(1.0),
        places.join(" ")
    );
}

criterion_group!(benches, blocks);
criterion_main!(benches);
