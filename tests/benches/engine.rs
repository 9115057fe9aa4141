//! What the engine costs. Budgets at 48 kHz: two benches, dry and loudness, static, 1 % of a core at 64-sample blocks,
//! and no block more than 10 % of its time.

use std::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use dryfit_dsp::conversion::{Controls, Grid, Target};
use dryfit_dsp::engine::convolver::{History, PartitionedFilter, Transform};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_dsp::filter::{Designer, Filter, Size};
use fft_convolver::FFTConvolver;

const RATE: f64 = 48_000.0;
const BLOCK: usize = 64;

/// A target that costs nothing, so that the engine's own work is measured: knob 1 lowers, knob 2 tilts.
struct Tilt(Vec<f64>);

impl Target for Tilt {
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        let [level, tilt] = [controls.knobs[0] * 0.1, controls.knobs[1] * 0.1];
        log_gain.iter_mut().zip(&self.0).for_each(|(value, shape)| *value = level + tilt * shape);
    }
}

fn shape() -> Vec<f64> {
    Grid::up_to(RATE / 2.0).hertz().iter().map(|hertz| -(hertz / 3000.0).hypot(1.0).ln()).collect()
}

fn engine(channels: usize) -> Engine<Tilt> {
    Engine::new(RATE, channels, vec![Tilt(shape()), Tilt(shape())])
}

fn noise(length: usize) -> Vec<f32> {
    let mut state = 1u32;
    let mut next = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        state as f32 / u32::MAX as f32 - 0.5
    };
    (0..length).map(|_| next()).collect()
}

/// A scene for a block: everything on, and the second knob moving or not.
fn scene(block: usize, moving: bool) -> Scene {
    let mut scene = Scene { listen: Listen::A, loudness_match: true, ..Scene::default() };
    if moving {
        scene.controls.knobs[1] = (block % 1000) as f64 / 100.0;
    }
    scene
}

fn engines(criterion: &mut Criterion) {
    let input = noise(BLOCK);
    for (channels, moving) in [(1, false), (1, true), (2, false), (2, true)] {
        let name = format!("engine, {channels} channel(s), {}", if moving { "knob moving" } else { "static" });
        let mut engine = engine(channels);
        let mut buffers = vec![input.clone(); channels];
        let mut block = 0;
        let mut run = |engine: &mut Engine<Tilt>| {
            block += 1;
            for buffer in &mut buffers {
                buffer.copy_from_slice(&input);
            }
            match &mut buffers[..] {
                [mono] => engine.process(&scene(block, moving), &mut [mono]),
                [left, right, ..] => engine.process(&scene(block, moving), &mut [left, right]),
                [] => unreachable!("there is a channel"),
            }
        };
        // A minute of sound first: every block timed alone, loudness and all.
        let mut times: Vec<Duration> = (0..45_000)
            .map(|_| {
                let start = Instant::now();
                run(&mut engine);
                start.elapsed()
            })
            .collect();
        report(&name, &mut times);
        let mut group = criterion.benchmark_group("64-sample blocks");
        group.throughput(Throughput::Elements(BLOCK as u64));
        group.bench_function(&name, |bencher| bencher.iter(|| run(&mut engine)));
        group.finish();
    }
}

/// Blocks after which the engine's work repeats: 100 ms, when loudness is integrated.
const PERIOD: usize = 75;

/// Prints mean and percentiles of single blocks, in per cent of the time a block lasts, and the worst of the medians of
/// the blocks at one place of the period: what the engine needs at worst, whoever else uses the machine.
fn report(name: &str, times: &mut [Duration]) {
    let percent = |time: Duration| 100.0 * time.as_secs_f64() * RATE / BLOCK as f64;
    let median = |place: usize| {
        let mut times: Vec<Duration> = times.iter().skip(place).step_by(PERIOD).copied().collect();
        times.sort_unstable();
        times[times.len() / 2]
    };
    let worst_place = percent((0..PERIOD).map(median).max().expect("a period has places"));
    times.sort_unstable();
    let at = |share: f64| percent(times[((times.len() - 1) as f64 * share) as usize]);
    let mean = percent(times.iter().sum::<Duration>() / times.len() as u32);
    println!(
        "{name}: mean {mean:.3} %, median {:.3} %, 99 % {:.3} %, 99.9 % {:.3} %, worst {:.2} %; worst place {worst_place:.3} %",
        at(0.5),
        at(0.99),
        at(0.999),
        at(1.0)
    );
}

fn designed() -> Filter {
    let mut designer = Designer::new(&Grid::up_to(RATE / 2.0), RATE);
    let mut filter = designer.silent();
    designer.design(&shape(), &mut filter);
    filter
}

/// One slot on one channel against the crate `fft-convolver` with the same taps and partitions, in the same run.
fn convolvers(criterion: &mut Criterion) {
    let (input, filter, Size { step, taps, .. }) = (noise(BLOCK), designed(), Size::at(RATE));
    let mut transform = Transform::new(step);
    let mut history = History::new(&transform, taps, RATE);
    let mut slot = PartitionedFilter::new(&transform, taps);
    slot.set(&filter, &mut transform);
    let (mut tail, mut out) = (vec![0.0; step], vec![0.0; BLOCK]);
    let mut group = criterion.benchmark_group("one convolver, 64-sample blocks");
    group.throughput(Throughput::Elements(BLOCK as u64));
    group.bench_function("dryfit, with slow tails", |bencher| {
        bencher.iter(|| {
            for (input, out) in black_box(&input).chunks(step).zip(out.chunks_mut(step)) {
                slot.tail(&history, &mut transform, &mut tail);
                history.push(input);
                slot.output(&history, &tail, 0, out);
                history.complete(&mut transform);
            }
        })
    });
    let mut other = FFTConvolver::<f32>::default();
    other.init(step, &filter.taps).expect("the taps fit");
    group.bench_function("fft-convolver", |bencher| {
        bencher.iter(|| other.process(black_box(&input), &mut out).expect("the lengths agree"))
    });
    group.bench_function("dryfit, a new filter", |bencher| bencher.iter(|| slot.set(&filter, &mut transform)));
    group.bench_function("fft-convolver, a new filter", |bencher| {
        bencher.iter(|| other.set_response(&filter.taps).expect("the taps fit"))
    });
    group.finish();
}

criterion_group!(benches, engines, convolvers);
criterion_main!(benches);
