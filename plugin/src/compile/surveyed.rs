//! What takes longer to work out than the sound, and is only looked at: drawings, figures, distances.

use dryfit_dsp::circuit::{Band, Controls, combinations, dc_band};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::drawing::{Drawing, pictorial, schematic};
use dryfit_dsp::find::{Reading, read_off};
use dryfit_dsp::survey::{Distances, Figures, Flag, Surveyor, flags};
use std::sync::Arc;

use super::analysis::Analysis;
use crate::session::Bench;

/// A compiled project, drawn and surveyed.
#[derive(Debug, Clone)]
pub struct Surveyed {
    /// Which edit it was.
    pub generation: u64,
    /// Which value of the tray was on trial.
    pub step: u8,
    /// The benches; none where one cannot be surveyed.
    pub benches: [Option<SurveyedBench>; 2],
}

/// A bench, drawn and surveyed with the value on trial in it.
#[derive(Debug, Clone)]
pub struct SurveyedBench {
    /// Every name resolved.
    pub assembly: Assembly,
    /// What sounds and what each knob does, in every combination of selector and switches.
    pub reading: Reading,
    /// What a meter should read at the jack in each of them, knobs on 10; none where that has no single answer.
    pub meter: Vec<Option<Band>>,
    /// The parts from their lug side.
    pub pictorial: Arc<Drawing>,
    /// The same in symbols.
    pub schematic: Arc<Drawing>,
    /// Every selector position, knobs on 10, switches in their first position.
    pub figures: Vec<Figures>,
    /// Between these positions.
    pub distances: Distances,
    /// What in them deserves a look.
    pub flags: Vec<Flag>,
}

/// Draws and surveys both benches; none when `unwanted`, which is asked before everything that takes long, says so.
pub(super) fn survey(analysis: &Analysis, step: u8, unwanted: &dyn Fn() -> bool) -> Option<Surveyed> {
    let mut benches = [None, None];
    for (place, slot) in benches.iter_mut().enumerate() {
        let setup = analysis.project.heard(Bench::BOTH[place], step);
        let assembly = analysis.project.read_guitar().and_then(|guitar| setup.assemble(&guitar));
        let Ok(assembly) = assembly else { continue };
        let load = analysis.benches[place].target.clone().seen(&Controls { step, ..Controls::default() }).load;
        let controls = Controls { load, ..Controls::default() };
        *slot = bench(assembly, &controls, unwanted)?;
    }
    Some(Surveyed { generation: analysis.generation, step, benches })
}

/// None in vain, some of none when the circuit has no single solution.
fn bench(assembly: Assembly, controls: &Controls, unwanted: &dyn Fn() -> bool) -> Option<Option<SurveyedBench>> {
    let wanted = || (!unwanted()).then_some(());
    wanted()?;
    let Ok(mut surveyor) = Surveyor::new(&assembly) else { return Some(None) };
    let Ok(figures) = surveyor.positions(controls) else { return Some(None) };
    wanted()?;
    let distances = surveyor.distances(controls);
    wanted()?;
    let pictorial = Arc::new(pictorial(&assembly));
    wanted()?;
    let schematic = Arc::new(schematic(&assembly));
    let flags = flags(&figures, &distances);
    let reading = read_off(&assembly);
    let meter = combinations(&assembly.controls).map(|controls| dc_band(&assembly, &controls).ok()).collect();
    Some(Some(SurveyedBench { assembly, reading, meter, pictorial, schematic, figures, distances, flags }))
}
