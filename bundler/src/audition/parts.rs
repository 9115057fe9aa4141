//! What a wiring takes, for people.

use dryfit_dsp::document::{AssembledKind, AssembledPart, Assembly, Taper};
use dryfit_dsp::units::{self, Quantity};
use serde::Serialize;

/// A line of the list of parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartLine {
    /// Its name in the wiring.
    pub name: String,
    /// What it is: `pot, 250k, audio taper`.
    pub what: String,
    /// Why not every drawer holds one; nothing for ordinary parts.
    pub special: Option<String>,
}

/// Every part of a wiring that has to be soldered in; pickups and jack are on the guitar.
pub fn parts(assembly: &Assembly) -> Vec<PartLine> {
    assembly.parts.iter().filter_map(line).collect()
}

fn line(part: &AssembledPart) -> Option<PartLine> {
    let (what, special) = match &part.kind {
        AssembledKind::Pot { pot, .. } => {
            let value = units::write(pot.resistance, Quantity::Resistance);
            let special = pot.no_load.then(|| "no-load: its track ends before 10".to_string());
            (format!("pot, {value}, {}", taper(&pot.taper)), special)
        }
        AssembledKind::Capacitor { capacitance, .. } => {
            (format!("capacitor, {}", units::write(*capacitance, Quantity::Capacitance)), None)
        }
        AssembledKind::Resistor { resistance, .. } => {
            (format!("resistor, {}", units::write(*resistance, Quantity::Resistance)), None)
        }
        AssembledKind::Switch { switch, .. } => {
            let special = switch.special.then(|| "this wiring needs just this switch".to_string());
            (format!("switch: {}", switch.title), special)
        }
        AssembledKind::Pickup(_) | AssembledKind::Jack => return None,
    };
    Some(PartLine { name: part.name.clone(), what, special })
}

fn taper(taper: &Taper) -> &'static str {
    match taper {
        Taper::Linear => "linear taper",
        Taper::Audio => "audio taper",
        Taper::ReverseAudio => "reverse audio taper",
        Taper::Points(_) => "a taper of its own",
    }
}
