//! The parts list, with what is special about a part and why.

use dryfit_dsp::document::{AssembledKind, AssembledPart, Assembly, COIL_TOLERANCE, Taper};
use dryfit_dsp::units::{self, Quantity};
use serde::Serialize;

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct PartRow {
    /// Its name in the drawings.
    pub name: String,
    /// What it is.
    pub what: String,
    /// Its value, plain.
    pub value: String,
    /// Its value in the code of IEC 60062.
    pub marking: String,
    /// Tolerance.
    pub tolerance: String,
    /// Why it is a special part; empty for an ordinary one.
    pub special: String,
}

/// Every part to be bought or at hand, pickups last.
pub(super) fn parts(assembly: &Assembly) -> Vec<PartRow> {
    assembly.parts.iter().map(|part| row(assembly, part)).collect()
}

fn row(assembly: &Assembly, part: &AssembledPart) -> PartRow {
    let plain = |what: &str| PartRow {
        name: part.name.clone(),
        what: what.into(),
        value: String::new(),
        marking: String::new(),
        tolerance: String::new(),
        special: String::new(),
    };
    let valued = |what: &str, value: f64, quantity: Quantity, tolerance: f64| PartRow {
        value: units::write(value, quantity),
        marking: units::marking(value, quantity).unwrap_or_default(),
        tolerance: units::write(tolerance, Quantity::Share),
        ..plain(what)
    };
    match &part.kind {
        AssembledKind::Pot { pot, .. } => {
            let taper = if pot.taper == Taper::Linear { "linear" } else { "audio taper" };
            let special = match pot.no_load {
                true => {
                    "No-load pot: its track is cut before lug 3, so that it is open at 10 and loads nothing there. An \
                         ordinary pot of this value would leave a trace."
                }
                false => "",
            };
            let what = format!("pot, {taper}, knob {}", pot.control);
            PartRow { special: special.into(), ..valued(&what, pot.resistance, Quantity::Resistance, pot.tolerance) }
        }
        AssembledKind::Capacitor { capacitance, tolerance } => {
            valued("capacitor", *capacitance, Quantity::Capacitance, *tolerance)
        }
        AssembledKind::Resistor { resistance, tolerance } => {
            valued("resistor", *resistance, Quantity::Resistance, *tolerance)
        }
        AssembledKind::Switch { switch, carrier, .. } => PartRow {
            special: if switch.special { format!("{} {}", WHY_SWITCH, switch.about) } else { String::new() },
            ..plain(&match carrier {
                Some(pot) => format!("{}; one part with {}", switch.title, assembly.parts[*pot].name),
                None => switch.title.clone(),
            })
        },
        AssembledKind::Pickup(pickup) => {
            let coil = &assembly.guitar.pickups[*pickup].coil;
            PartRow {
                value: units::write(coil.resistance, Quantity::Resistance),
                tolerance: units::write(COIL_TOLERANCE, Quantity::Share),
                ..plain("pickup, DC resistance")
            }
        }
        AssembledKind::Jack => plain("output jack, two contacts"),
    }
}

const WHY_SWITCH: &str = "This wiring needs just this switch.";
