//! `dryfit survey`

use std::io::{Write, stdout};

use dryfit_dsp::circuit::{Controls, settings};
use dryfit_dsp::document::ControlPlan;
use dryfit_dsp::survey::Tolerances;

use crate::Failure;
use crate::arguments;
use crate::commands::tell_warnings;
use crate::documents::Documents;
use crate::survey::{Survey, json, text};

/// Prints what a wiring gives in every position, in numbers.
pub fn run(arguments: &arguments::Survey) -> Result<(), Failure> {
    if settings::name(&arguments.set, "position") {
        return Err(Failure::Arguments {
            what: "a survey is of every position".into(),
            mend: "leave the position out; knobs, switches, part values, cable and input may be set".into(),
        });
    }
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.guitar)?;
    let mut assembly = documents.assembly(&arguments.option, &guitar)?;
    let mut controls = Controls::default();
    settings::apply(&arguments.set, &mut assembly, &mut controls).map_err(Failure::Settings)?;
    tell_warnings(&assembly);
    let tolerances = Tolerances { trials: arguments.trials as usize, seed: arguments.seed };
    let survey = Survey::new(&assembly, &controls, left(&arguments.set, &assembly.controls), tolerances)
        .map_err(|source| Failure::Conversion { place: arguments.option.clone(), source: source.into() })?;
    let written = if arguments.json { json(&survey) } else { text(&survey) };
    Ok(stdout().lock().write_all(written.as_bytes())?)
}

/// The switches that no setting names: those are surveyed in all their positions.
fn left(settings: &[String], plan: &ControlPlan) -> [bool; Controls::SWITCHES] {
    let mut left = [false; Controls::SWITCHES];
    for (left, (label, _)) in left.iter_mut().zip(&plan.switches) {
        *left = !settings::name(settings, label);
    }
    left
}
