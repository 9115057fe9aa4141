//! `dryfit survey`

mod json;
mod table;

use std::io::{Write, stdout};

use dryfit_dsp::circuit::{CircuitError, Controls};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::survey::{Distances, Figures, Flag, Spread, Surveyor, Tolerances, flags, tolerances};

use crate::Failure;
use crate::arguments::Survey;
use crate::commands::tell_warnings;
use crate::documents::Documents;
use crate::settings;

/// Everything a survey tells.
struct Surveyed {
    assembly: Assembly,
    standing: Controls,
    figures: Vec<Figures>,
    distances: Distances,
    flags: Vec<Flag>,
    tolerances: Tolerances,
    spreads: Vec<Spread>,
}

/// Prints what a wiring gives in every position, in numbers.
pub fn run(arguments: &Survey) -> Result<(), Failure> {
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.guitar)?;
    let mut assembly = documents.assembly(&arguments.option, &guitar)?;
    let mut controls = Controls::default();
    settings::apply(&arguments.set, &mut assembly, &mut controls).map_err(Failure::Settings)?;
    tell_warnings(&assembly);
    let tolerances = Tolerances { trials: arguments.trials, seed: arguments.seed };
    let surveyed = Surveyed::new(assembly, controls, tolerances)
        .map_err(|source| Failure::Conversion { place: arguments.option.clone(), source: source.into() })?;
    let text = if arguments.json { json::write(&surveyed) } else { table::write(&surveyed) };
    Ok(stdout().lock().write_all(text.as_bytes())?)
}

impl Surveyed {
    fn new(assembly: Assembly, standing: Controls, wanted: Tolerances) -> Result<Self, CircuitError> {
        let mut surveyor = Surveyor::new(&assembly)?;
        let figures = surveyor.positions(&standing)?;
        let distances = surveyor.distances(&standing);
        let flags = flags(&figures, &distances);
        let spreads = tolerances(&assembly, &standing, &wanted)?;
        Ok(Self { assembly, standing, figures, distances, flags, tolerances: wanted, spreads })
    }
}
