//! What is on in each position, in words.

use dryfit_dsp::circuit::{self, Controls, ON_DB};
use dryfit_dsp::document::Assembly;

/// For every selector position, knobs on 10 and switches in their first position, the pickups that are heard:
/// `bridge + middle`; `nothing` where none is.
pub fn position_names(assembly: &Assembly) -> Vec<String> {
    (1..=assembly.controls.positions)
        .map(|position| sounding(assembly, &Controls { position, ..Controls::default() }))
        .collect()
}

/// The pickups that are heard where the controls stand.
pub fn sounding(assembly: &Assembly, controls: &Controls) -> String {
    let Ok(heard) = circuit::sounding(assembly, controls, ON_DB) else { return String::new() };
    let heard = assembly.guitar.pickups.iter().zip(heard).filter(|(_, heard)| *heard);
    let names: Vec<&str> = heard.map(|(pickup, _)| pickup.name.as_str()).collect();
    if names.is_empty() { "nothing".into() } else { names.join(" + ") }
}
