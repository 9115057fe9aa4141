//! Every preset document is read, put together and checked.

use dryfit_dsp::circuit::{self, CompiledWiring, Controls, Grid, Loaded, Mna, combinations};
use dryfit_dsp::document::{Assembly, DocumentKind, Library};

#[test]
fn every_preset_wiring_can_be_built() {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").unwrap();
    for name in library.names(DocumentKind::Wiring) {
        let wiring = library.wiring(name).unwrap_or_else(|problems| panic!("{problems}"));
        let assembly = Assembly::new(&wiring, &guitar, &library).unwrap_or_else(|problems| panic!("{problems}"));
        let problems = circuit::check(&assembly);
        println!("{name}: {problems}");
        assert!(!problems.any_error(), "{problems}");
        let grid = Grid::up_to(24e3);
        let t = std::time::Instant::now();
        let mut compiled = CompiledWiring::new(&assembly, &grid).unwrap();
        println!("{:?}", t.elapsed());
        let mut worst = 0f64;
        let mut tt = std::time::Duration::ZERO;
        let mut n = 0;
        for base in combinations(&assembly.controls) {
            for k in [0.0, 3.0, 7.5, 10.0] {
                let controls = Controls { knobs: [k; Controls::KNOBS], ..base };
                let lowered = circuit::lower(&assembly, &controls, Loaded::Yes);
                let mna = Mna::new(&lowered.netlist);
                let t = std::time::Instant::now();
                let fast = compiled.responses(&controls).clone();
                tt += t.elapsed();
                n += 1;
                for (point, &hertz) in grid.hertz().iter().enumerate() {
                    for (pickup, exact) in mna.transfer(lowered.jack, hertz).unwrap().into_iter().enumerate() {
                        let off = (fast.at(pickup, point) - exact).norm() / exact.norm().max(1e-12);
                        worst = worst.max(off);
                    }
                }
            }
        }
        println!("worst {worst:e}, {:?} a knob", tt / n);
    }
}
