//! What is computed from the compiled project, and when anew.

use std::sync::Arc;

use dryfit_dsp::circuit::{CompiledWiring, Controls, Grid, Responses};
use dryfit_dsp::conversion::{Assessment, Target};
use dryfit_dsp::document::Assembly;
use num_complex::Complex64;

use super::bands::Bands;
use crate::compile::{Analysis, OptionTarget};
use crate::session::Bench;

/// A compiled project, measured where the controls stand.
pub(in crate::app) struct Measured {
    pub(super) analysis: Arc<Analysis>,
    pub(super) benches: [MeasuredBench; 2],
    pub(super) recorded: Vec<[f64; 2]>,
}

/// A bench, measured.
pub(super) struct MeasuredBench {
    target: OptionTarget,
    /// Where the controls stand: frequency in hertz, level in dB.
    pub(super) curve: Vec<[f64; 2]>,
    /// Where the controls stand.
    pub(super) assessment: Option<Assessment>,
    /// Whether it can make use of notes that are followed, where the controls stand.
    pub(super) follows: bool,
    /// The band of its parts' tolerances around the curve, if somebody wants to see it.
    pub(super) band: Vec<[f64; 3]>,
    /// What it was made from, with the step of the tray.
    bands: Option<(u8, Option<Bands>)>,
}

impl Measured {
    pub(super) fn new(analysis: Arc<Analysis>) -> Self {
        let controls = analysis.project.recorded.controls;
        let grid = Grid::up_to(analysis.sample_rate / 2.0);
        let recorded = CompiledWiring::new(&analysis.recorded, &grid)
            .map(|mut compiled| curve(&analysis.recorded, &grid, compiled.responses(&controls)))
            .unwrap_or_default();
        let bench = |place: usize| {
            let bench = &analysis.benches[place];
            let target = bench.target.clone();
            MeasuredBench { target, curve: Vec::new(), assessment: None, follows: false, band: Vec::new(), bands: None }
        };
        Self { benches: [bench(0), bench(1)], recorded, analysis }
    }

    /// Whether it was made from that analysis.
    pub(super) fn is_of(&self, analysis: &Arc<Analysis>) -> bool {
        Arc::ptr_eq(&self.analysis, analysis)
    }

    /// Measures where the controls stand, with the bands of tolerance if they are wanted.
    pub(super) fn look(&mut self, controls: &Controls, bands: bool) {
        for (place, bench) in self.benches.iter_mut().enumerate() {
            let grid = bench.target.grid().clone();
            bench.curve = curve(&self.analysis.benches[place].assembly, &grid, bench.target.responses(controls));
            bench.assessment = Some(bench.target.assess(controls));
            bench.follows = bench.target.follows(controls);
            bench.band = if bands { bench.tolerances(&self.analysis, place, controls) } else { Vec::new() };
        }
    }
}

impl MeasuredBench {
    fn tolerances(&mut self, analysis: &Analysis, place: usize, controls: &Controls) -> Vec<[f64; 3]> {
        let (grid, step) = (self.target.grid().clone(), controls.step);
        if self.bands.as_ref().is_none_or(|(made_for, _)| *made_for != step) {
            let setup = analysis.project.heard(Bench::BOTH[place], step);
            let assembly = analysis.project.read_guitar().and_then(|guitar| setup.assemble(&guitar));
            self.bands = Some((step, assembly.ok().and_then(|assembly| Bands::new(assembly, &grid))));
        }
        let bands = self.bands.as_mut().and_then(|(_, bands)| bands.as_mut());
        bands.map(|bands| bands.around(&self.curve, &grid, &self.target.seen(controls))).unwrap_or_default()
    }
}

/// Level at the jack when every coil has an EMF of 1 V, as `dryfit curve` has it: frequency in hertz, level in dB.
pub(super) fn curve(assembly: &Assembly, grid: &Grid, responses: &Responses) -> Vec<[f64; 2]> {
    let points = grid.hertz().iter().enumerate().filter(|(_, hertz)| **hertz >= LOWEST);
    points.map(|(point, &hertz)| [hertz, level_db(assembly, responses, point)]).collect()
}

/// Lowest frequency that is drawn, in hertz: a little below the plot's edge, so that the line reaches it.
const LOWEST: f64 = 5.0;
/// What silence is drawn as, in dB.
const SILENCE_DB: f64 = -140.0;

/// Level of all pickups together at a point of the grid, in dB re 1 V of EMF.
pub(super) fn level_db(assembly: &Assembly, responses: &Responses, point: usize) -> f64 {
    let pickups = assembly.guitar.pickups.iter().enumerate();
    let sum: Complex64 = pickups.map(|(index, pickup)| responses.at(index, point) * pickup.signal_sign()).sum();
    (20.0 * sum.norm().log10()).max(SILENCE_DB)
}
