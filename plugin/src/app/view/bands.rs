//! What the tolerances of parts do to a curve.

use dryfit_dsp::circuit::{CompiledWiring, Controls, Grid};
use dryfit_dsp::document::Assembly;

use super::measured::curve;

/// A bench's circuit with one part after the other at either end of its tolerance.
pub(super) struct Bands {
    assembly: Assembly,
    circuits: Vec<[CompiledWiring; 2]>,
}

impl Bands {
    /// None for a circuit that has no single solution.
    pub(super) fn new(assembly: Assembly, grid: &Grid) -> Option<Self> {
        let ends = |part| Some([off(&assembly, part, -1.0)?, off(&assembly, part, 1.0)?]);
        let compiled = |[low, high]: [Assembly; 2]| {
            Some([CompiledWiring::new(&low, grid).ok()?, CompiledWiring::new(&high, grid).ok()?])
        };
        let circuits = (0..assembly.parts.len()).filter_map(ends).map(compiled).collect::<Option<Vec<_>>>()?;
        Some(Self { assembly, circuits })
    }

    /// The band around a bench's curve where the controls stand: frequency in hertz, least dB, most dB.
    ///
    /// Worst case of first order: what each part does alone at the worse end of its tolerance, added up. The trade's word for
    /// it is that all parts are off the same way at once; built guitars lie within.
    pub(super) fn around(&mut self, own: &[[f64; 2]], grid: &Grid, controls: &Controls) -> Vec<[f64; 3]> {
        let mut band: Vec<[f64; 3]> = own.iter().map(|&[hertz, db]| [hertz, db, db]).collect();
        for ends in &mut self.circuits {
            let [low, high] = ends.each_mut().map(|circuit| curve(&self.assembly, grid, circuit.responses(controls)));
            for (place, (nominal, (a, b))) in own.iter().zip(low.iter().zip(&high)).enumerate() {
                let off = [a[1] - nominal[1], b[1] - nominal[1]];
                band[place][1] += off[0].min(off[1]).min(0.0);
                band[place][2] += off[0].max(off[1]).max(0.0);
            }
        }
        band
    }
}

/// An assembly with one part off by its whole tolerance; none for a part that has none, and for the pickups.
fn off(assembly: &Assembly, part: usize, end: f64) -> Option<Assembly> {
    let tolerance = assembly.tolerance(part).filter(|_| !assembly.is_pickup(part))?;
    let mut built = assembly.clone();
    built.scale(part, 1.0 + end * tolerance);
    Some(built)
}
