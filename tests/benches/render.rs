//! How long `dryfit render` takes, without the disk: a minute of take through one option, everything compiled anew.
//!
//! Budget (design, section 8): 60 s of take and 12 options in 10 s on two cores, so 1.6 s for each option on one core.

#![allow(missing_docs, reason = "criterion's macros make undocumented functions")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_bundler::rendering::render;
use dryfit_dsp::circuit::{Controls, Grid};
use dryfit_dsp::conversion::{Conversion, Recorded};
use dryfit_dsp::document::Library;
use dryfit_tests::ground_truth::Stand;

const RATE: u32 = 48_000;

fn a_minute_through_one_option(c: &mut Criterion) {
    let guitar = Library::presets().guitar("three-single-coils").expect("a preset");
    let (recorded, option) =
        (Stand::new("five-way-two-tones", &guitar, 1), Stand::new("five-way-outer-pair-blend", &guitar, 3));
    let take: Vec<f32> = (0..60 * RATE).map(|n| (n as f32 * 0.05).sin() * 0.3).collect();
    let mut group = c.benchmark_group("render");
    group.sample_size(10);
    group.bench_function("60 s of take, one option", |b| {
        b.iter(|| {
            let grid = Grid::up_to(f64::from(RATE) / 2.0);
            let recorded =
                Recorded::new(&recorded.assembly, &Controls::default(), &grid).expect("the bridge is not silent");
            let conversion = Conversion::new(&recorded, &option.assembly).expect("presets have a solution");
            black_box(render(&take, RATE, conversion, &option.controls, |_| {}))
        });
    });
    group.finish();
}

criterion_group!(benches, a_minute_through_one_option);
criterion_main!(benches);
