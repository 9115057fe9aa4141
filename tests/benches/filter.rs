//! What a design costs: the budget is 150 us from knob to FIR, circuit solves included.

use criterion::{Criterion, criterion_group, criterion_main};
use dryfit_dsp::conversion::Grid;
use dryfit_dsp::filter::Designer;

#[path = "../tests/filter/curves.rs"]
#[allow(
    dead_code,
    reason = "shared with the specifications, which use the rest"
)]
mod curves;

fn design(criterion: &mut Criterion) {
    for sample_rate in [48_000.0, 96_000.0, 192_000.0] {
        let grid = Grid::up_to(sample_rate / 2.0);
        let mut designer = Designer::new(&grid, sample_rate);
        let mut filter = designer.silent();
        for (name, curve) in curves::curves() {
            if name == "tone at 40k, 47n" || name == "bass cut, 2.2n" {
                let curve: Vec<f64> = grid.hertz().iter().map(|&hertz| curve(hertz)).collect();
                let name = format!("design at {} kHz, {name}", sample_rate / 1e3);
                criterion.bench_function(&name, |bencher| {
                    bencher.iter(|| designer.design(&curve, &mut filter))
                });
            }
        }
    }
}

criterion_group!(benches, design);
criterion_main!(benches);
