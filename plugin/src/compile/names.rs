//! What is on in each position, in words.

use dryfit_dsp::circuit::{Controls, Loaded, Mna, lower};
use dryfit_dsp::document::Assembly;

/// A pickup that gives less than this share of the loudest one is not named: -20 dB. What a blend at its end lets
/// through stays below.
const HEARD: f64 = 0.1;
/// In hertz: where every pickup of a guitar plays.
const LISTENED_AT: f64 = 500.0;

/// For every selector position, knobs on 10 and switches in their first position, the pickups that are heard:
/// `bridge + middle`; `nothing` where none is.
pub fn position_names(assembly: &Assembly) -> Vec<String> {
    (1..=assembly.controls.positions)
        .map(|position| sounding(assembly, &Controls { position, ..Controls::default() }))
        .collect()
}

/// The pickups that are heard where the controls stand.
pub fn sounding(assembly: &Assembly, controls: &Controls) -> String {
    let lowered = lower(assembly, controls, Loaded::Yes);
    let Ok(responses) = Mna::new(&lowered.netlist).transfer(lowered.jack, LISTENED_AT) else { return String::new() };
    let loudest = responses.iter().map(|response| response.norm()).fold(0.0, f64::max);
    let heard = responses
        .iter()
        .zip(&assembly.guitar.pickups)
        .filter(|(response, _)| response.norm() > (HEARD * loudest).max(f64::MIN_POSITIVE));
    let names: Vec<&str> = heard.map(|(_, pickup)| pickup.name.as_str()).collect();
    if names.is_empty() { "nothing".into() } else { names.join(" + ") }
}
