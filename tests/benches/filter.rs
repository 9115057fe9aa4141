//! What a design costs: the budget is 150 us from knob to FIR, circuit solves included.

use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_dsp::conversion::Grid;
use dryfit_dsp::filter::Designer;

#[path = "../tests/filter/curves.rs"]
#[allow(dead_code, reason = "shared with the specifications, which use the rest")]
mod curves;

fn design(criterion: &mut Criterion) {
    for sample_rate in [48_000.0, 96_000.0, 192_000.0] {
        let grid = Grid::up_to(sample_rate / 2.0);
        let mut designer = Designer::new(&grid, sample_rate);
        let mut filter = designer.silent();
        for (name, curve) in curves::curves() {
            if name == "tone at 40k, 47n" || name == "bass cut, 2.2n" {
                let curve: Vec<f64> = grid.hertz().iter().map(|&hertz| curve(hertz)).collect();
                single_designs(name, || designer.design(&curve, &mut filter));
                let name = format!("design at {} kHz, {name}", sample_rate / 1e3);
                criterion.bench_function(&name, |bencher| bencher.iter(|| designer.design(&curve, &mut filter)));
            }
        }
    }
}

/// Prints single designs in microseconds; the fastest and the median say most when the machine is shared.
fn single_designs(name: &str, mut design: impl FnMut()) {
    let mut times: Vec<Duration> = (0..3000)
        .map(|_| {
            let start = Instant::now();
            design();
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    let at = |share: usize| times[(times.len() - 1) * share / 1000].as_secs_f64() * 1e6;
    println!("{name}: fastest {:.1} us, median {:.1} us, 99 % {:.1} us", at(0), at(500), at(990));
}

criterion_group!(benches, design);
criterion_main!(benches);
