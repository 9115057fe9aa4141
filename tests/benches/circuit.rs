//! What a wiring costs: compiling its document, moving a knob; and one sweep in ngspice beside it.
//!
//! Budgets (`design.md`, section 8): 10 ms for a document with all its positions; 150 us from a knob to a filter, of
//! which the solve here is a part.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_dsp::circuit::{CompiledWiring, Controls, Grid, Loaded, Mna, lower};
use dryfit_dsp::document::{Assembly, DocumentKind, Library, Wiring};
use dryfit_tests::circuits::assembly;
use dryfit_tests::ngspice::{self, Circuit, Deck};

/// The ordinary wiring, and the one with most positions to fold.
const WIRINGS: [&str; 2] = ["five-way-two-tones", "five-way-outer-pair-series"];
const GUITAR: &str = "three-single-coils";

fn compile(criterion: &mut Criterion) {
    let library = Library::presets();
    let guitar = library.guitar(GUITAR).expect("a preset guitar");
    let grid = Grid::up_to(24e3);
    for name in WIRINGS {
        let (file, text) = library.text(DocumentKind::Wiring, name).expect("a preset wiring");
        let compiled = || {
            let wiring = Wiring::read(file, black_box(text)).expect("a preset is right");
            let assembly = Assembly::new(&wiring, &guitar, &library).expect("a preset is right");
            CompiledWiring::new(&assembly, &grid).expect("a preset has a solution")
        };
        criterion.bench_function(&format!("compile {name}, from text, all positions"), |b| b.iter(compiled));
    }
}

fn knob(criterion: &mut Criterion) {
    for name in WIRINGS {
        let mut compiled =
            CompiledWiring::new(&assembly(name, GUITAR), &Grid::up_to(24e3)).expect("a preset has a solution");
        let mut turn = 0.0;
        criterion.bench_function(&format!("knob on {name}, solved on the grid"), |b| {
            b.iter(|| {
                turn = (turn + 0.37) % 10.0;
                let controls = Controls { position: 4, knobs: [turn; Controls::KNOBS], ..Controls::default() };
                black_box(compiled.responses(&controls).at(0, 64))
            });
        });
    }
}

/// 31 points, three pickups: in Dryfit's exact solver, and in ngspice with its start as a process.
fn sweep(criterion: &mut Criterion) {
    let wiring = assembly(WIRINGS[0], GUITAR);
    let lowered = lower(&wiring, &Controls { position: 4, ..Controls::default() }, Loaded::Yes);
    let hertz: Vec<f64> = (0..31).map(|i| 20.0 * 10f64.powf(f64::from(i) / 10.0)).collect();
    criterion.bench_function("sweep of 31 points, exact solver", |b| {
        b.iter(|| {
            let mna = Mna::new(black_box(&lowered.netlist));
            hertz
                .iter()
                .map(|&hertz| mna.transfer(lowered.jack, hertz).map(|h| h[0].norm()).unwrap_or(0.0))
                .sum::<f64>()
        });
    });
    if ngspice::version_or_skip("the baseline in ngspice").is_none() {
        return;
    }
    let drive = |(i, name): (usize, &str)| (name.to_string(), (0..3).map(|j| f64::from(u8::from(i == j))).collect());
    let deck = Deck {
        title: "one circuit".into(),
        circuits: vec![Circuit { title: "position 4".into(), lowered }],
        drives: ["bridge", "middle", "neck"].into_iter().enumerate().map(drive).collect(),
    };
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("ngspice-bench");
    criterion.bench_function("sweep of 31 points, ngspice with its start", |b| b.iter(|| deck.run(&folder)));
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(30).measurement_time(std::time::Duration::from_secs(3));
    targets = compile, knob, sweep
}
criterion_main!(benches);
