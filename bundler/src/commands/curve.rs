//! `dryfit curve`

use std::io::{Write, stdout};

use dryfit_dsp::circuit::{self, Controls, Loaded, Mna, settings};
use dryfit_dsp::document::{Assembly, suggestion};
use dryfit_dsp::units::amplitude_to_db;
use num_complex::Complex64;

use crate::Failure;
use crate::arguments::Curve;
use crate::commands::tell_warnings;
use crate::documents::Documents;

/// Most frequencies that are worth a line each.
const MOST_POINTS: usize = 1_000_000;

/// Stands for silence, in dB, so that every value is a number that any program reads.
const SILENCE_DB: f64 = -300.0;

/// Prints the response at the jack, in dB re 1 V of EMF in each pickup, with the signs of winding and magnet.
pub fn run(arguments: &Curve) -> Result<(), Failure> {
    let frequencies = frequencies(arguments)?;
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.guitar)?;
    let mut assembly = documents.assembly(&arguments.option, &guitar)?;
    let mut controls = Controls::default();
    settings::apply(&arguments.set, &mut assembly, &mut controls).map_err(Failure::Settings)?;
    let weights = weights(&assembly, arguments.pickup.as_deref())?;
    tell_warnings(&assembly);
    let lowered = circuit::lower(&assembly, &controls, Loaded::Yes);
    let mna = Mna::new(&lowered.netlist);
    let mut out = stdout().lock();
    writeln!(out, "hz,dB,degrees")?;
    for hertz in frequencies {
        let responses = mna
            .transfer(lowered.jack, hertz)
            .map_err(|source| Failure::Conversion { place: arguments.option.clone(), source: source.into() })?;
        let sum: Complex64 = responses.iter().zip(&weights).map(|(response, weight)| response * weight).sum();
        let level_db = amplitude_to_db(sum.norm()).max(SILENCE_DB);
        writeln!(out, "{hertz:.4},{level_db:.6},{:.4}", sum.arg().to_degrees())?;
    }
    Ok(())
}

fn weights(assembly: &Assembly, pickup: Option<&str>) -> Result<Vec<f64>, Failure> {
    let pickups = &assembly.guitar.pickups;
    let Some(name) = pickup else { return Ok(pickups.iter().map(|pickup| pickup.signal_sign()).collect()) };
    if assembly.guitar.pickup(name).is_none() {
        let names: Vec<_> = pickups.iter().map(|pickup| pickup.name.as_str()).collect();
        let what = format!("the guitar has no pickup `{name}`{}", suggestion(name, names.iter().copied()));
        return Err(Failure::Arguments { what, mend: format!("name one of {}", names.join(", ")) });
    }
    Ok(pickups.iter().map(|pickup| if pickup.name == name { 1.0 } else { 0.0 }).collect())
}

fn frequencies(arguments: &Curve) -> Result<Vec<f64>, Failure> {
    let Curve { from, to, points, .. } = *arguments;
    let sensible = from > 0.0 && to > from && to <= 1e6 && (2..=MOST_POINTS).contains(&points);
    if !sensible {
        let what = format!("{points} points from {from} Hz to {to} Hz make no curve");
        let mend = format!("give --from above 0, --to above --from and at most 1000000, --points 2 to {MOST_POINTS}");
        return Err(Failure::Arguments { what, mend });
    }
    let step = (to / from).ln() / (points - 1) as f64;
    Ok((0..points).map(|i| from * (step * i as f64).exp()).collect())
}
