//! What ruler and meter said, as the command line has it.

use dryfit_dsp::calibration::{LoadedResonance, Measured};
use dryfit_dsp::document::Guitar;
use dryfit_dsp::units::Quantity;

use super::parsed::Parser;
use crate::Failure;
use crate::arguments::Calibrate;

/// What the arguments say about this guitar.
///
/// # Errors
/// Everything that makes no sense.
pub fn read(arguments: &Calibrate, guitar: &Guitar) -> Result<Measured, Vec<Failure>> {
    let mut parser = Parser::new(guitar);
    let measured = Measured {
        scale_length: arguments
            .scale_length
            .as_ref()
            .and_then(|text| parser.quantity("--scale-length", text, Quantity::Length)),
        gauges: arguments.gauges.as_ref().and_then(|text| {
            parser.by_string("--gauges", text, |parser, part| parser.quantity("--gauges", part, Quantity::Length))
        }),
        plain: arguments.plain,
        tuning: arguments
            .tuning
            .as_ref()
            .and_then(|text| parser.by_string("--tuning", text, |_, part| Some(part.to_string()))),
        distances: parser.by_pickup("--distance", &arguments.distances, read_distance),
        resistances: parser.by_pickup("--resistance", &arguments.resistances, |parser, text| {
            parser.quantity("--resistance", text, Quantity::Resistance)
        }),
        inductances: parser.by_pickup("--inductance", &arguments.inductances, |parser, text| {
            parser.quantity("--inductance", text, Quantity::Inductance)
        }),
        resonances: parser.by_pickup("--resonance", &arguments.resonances, read_resonances),
    };
    contradictions(&measured, guitar, &mut parser);
    if parser.failures.is_empty() { Ok(measured) } else { Err(parser.failures) }
}

fn contradictions(measured: &Measured, guitar: &Guitar, parser: &mut Parser<'_>) {
    for (pickup, _) in &measured.inductances {
        if measured.resonances.iter().any(|(other, _)| other == pickup) {
            let name = &guitar.pickups[*pickup].name;
            let what = format!("the {name} pickup has an --inductance and a --resonance, which gives one too");
            parser.refuse(what, "keep the one you trust");
        }
    }
    let strings = guitar.strings.len();
    if let Some(plain) = measured.plain.filter(|&plain| plain > strings) {
        parser.refuse(format!("{plain} plain strings are more than the {strings} there are"), "count them again");
    }
}

fn read_distance(parser: &mut Parser<'_>, text: &str) -> Option<[f64; 2]> {
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    match parts[..] {
        [both] => parser.quantity("--distance", both, Quantity::Length).map(|distance| [distance; 2]),
        [low, high] => {
            let low = parser.quantity("--distance", low, Quantity::Length);
            let high = parser.quantity("--distance", high, Quantity::Length);
            Some([low?, high?])
        }
        _ => {
            let what = format!("--distance has {} lengths for a pickup", parts.len());
            parser.refuse(what, "give two, under the lowest and the highest string: bridge=46mm,36mm");
            None
        }
    }
}

fn read_resonances(parser: &mut Parser<'_>, text: &str) -> Option<[LoadedResonance; 2]> {
    let read = |part: &str| part.parse().map_err(|error| parser.refuse(format!("--resonance: {error}"), SUCH)).ok();
    let parts: Vec<Option<LoadedResonance>> = text.split(',').map(read).collect();
    if parts.len() != 2 {
        parser.refuse(format!("--resonance has {} resonances for a pickup", parts.len()), SUCH);
        return None;
    }
    Some([parts[0]?, parts[1]?])
}

const SUCH: &str = "find it with two capacitors: neck=570p:3.94kHz,2300p:2.09kHz";
