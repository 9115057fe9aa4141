//! What ruler and meter said.

use dryfit_dsp::calibration::{LoadedResonance, damped};
use dryfit_dsp::document::{Guitar, StringMaterial};
use dryfit_dsp::units::{self, Quantity, significant};

use super::draft::{Draft, list};
use super::parsed::Parser;
use crate::Failure;
use crate::arguments::Calibrate;

/// What ruler and meter said, by index of string and pickup; SI.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    scale_length: Option<f64>,
    gauges: Option<Vec<f64>>,
    plain: Option<usize>,
    tuning: Option<Vec<String>>,
    /// Under the lowest and the highest string.
    distances: Vec<(usize, [f64; 2])>,
    resistances: Vec<(usize, f64)>,
    inductances: Vec<(usize, f64)>,
    resonances: Vec<(usize, [LoadedResonance; 2])>,
}

/// Input resistance of the instrument that resonances are found with, in ohms: that of a common probe or DI (from memory).
const INSTRUMENT_INPUT: f64 = 1e6;

impl Measured {
    /// What the arguments say about this guitar.
    ///
    /// # Errors
    /// Everything that makes no sense.
    pub fn read(arguments: &Calibrate, guitar: &Guitar) -> Result<Self, Vec<Failure>> {
        let mut parser = Parser::new(guitar);
        let measured = Self {
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
        measured.contradictions(guitar, &mut parser);
        if parser.failures.is_empty() { Ok(measured) } else { Err(parser.failures) }
    }

    /// Whether nothing was measured.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Whether a pickup's distance was measured.
    pub fn has_distance(&self, pickup: usize) -> bool {
        self.distances.iter().any(|(measured, _)| *measured == pickup)
    }

    /// Puts it into a guitar's document, and says in a line each what came of it.
    ///
    /// # Errors
    /// When resonances do not belong to one coil.
    pub fn write(&self, draft: &mut Draft, guitar: &Guitar) -> Result<Vec<String>, Failure> {
        let mut told = self.write_strings(draft, guitar);
        for &(pickup, distances) in &self.distances {
            let name = &guitar.pickups[pickup].name;
            let written = distances.map(|distance| units::write(distance, Quantity::Length));
            told.push(format!("{name}: distance {} | {}, ruler", written[0], written[1]));
            draft.set_pickup(name, "distance", list(written), "ruler: lowest, highest string");
        }
        for &(pickup, resistance) in &self.resistances {
            let name = &guitar.pickups[pickup].name;
            let written = units::write(resistance, Quantity::Resistance);
            told.push(format!("{name}: resistance {written}, meter"));
            draft.set_pickup(name, "resistance", written, "meter");
        }
        for &(pickup, inductance) in &self.inductances {
            let name = &guitar.pickups[pickup].name;
            let written = units::write(inductance, Quantity::Inductance);
            told.push(format!("{name}: inductance {written}, meter"));
            draft.set_pickup(name, "inductance", written, "meter");
        }
        for (pickup, resonances) in &self.resonances {
            told.push(self.write_resonances(draft, guitar, *pickup, resonances)?);
        }
        Ok(told)
    }

    fn write_strings(&self, draft: &mut Draft, guitar: &Guitar) -> Vec<String> {
        let mut told = Vec::new();
        if let Some(length) = self.scale_length {
            let written = units::write(length, Quantity::Length);
            told.push(format!("scale length {written}, ruler"));
            draft.set_top("scale-length", written, "ruler");
        }
        for (index, pitch) in self.tuning.iter().flatten().enumerate() {
            draft.set_string(index, "pitch", pitch.as_str(), "as told");
        }
        let strings = guitar.strings.len();
        for index in 0..strings {
            let plain = self.plain.map(|plain| index + plain >= strings);
            if let Some(gauge) = self.gauges.as_ref().map(|gauges| gauges[index]) {
                // Four digits of millimetres tell thousandths of an inch apart.
                draft.set_string(
                    index,
                    "gauge",
                    units::write(significant(gauge, 5), Quantity::Length),
                    "as the set has it",
                );
            }
            if self.gauges.is_some() || plain.is_some() {
                // The core is a share of the gauge unless it is written, and what was measured of another string is not this one's.
                draft.remove_from_string(index, "core");
                draft.remove_from_string(index, "inharmonicity");
            }
            match (plain, guitar.strings[index].material) {
                (Some(true), _) => draft.set_string(index, "material", "plain-steel", "as told"),
                (Some(false), StringMaterial::PlainSteel) => {
                    draft.set_string(index, "material", "nickel-wound", "as told: wound");
                }
                _ => {}
            }
        }
        if self.gauges.is_some() {
            told.push("gauges as the set has them; stiffness follows from them".into());
        }
        told
    }

    fn write_resonances(
        &self,
        draft: &mut Draft,
        guitar: &Guitar,
        pickup: usize,
        resonances: &[LoadedResonance; 2],
    ) -> Result<String, Failure> {
        let name = &guitar.pickups[pickup].name;
        let mut coil = guitar.pickups[pickup].coil.clone();
        if let Some((_, resistance)) = self.resistances.iter().find(|(other, _)| *other == pickup) {
            coil.resistance = *resistance;
        }
        let found = damped(resonances[0], resonances[1], &coil, INSTRUMENT_INPUT).map_err(|error| {
            let what = format!("--resonance {name}: {error}");
            Failure::Arguments { what, mend: "measure both resonances of this pickup again".into() }
        })?;
        let factor = coil.plate.as_ref().map_or(1.0, |plate| plate.inductance_factor);
        let inductance = units::write(significant(found.inductance / factor, 3), Quantity::Inductance);
        let capacitance = units::write(significant(found.capacitance, 2), Quantity::Capacitance);
        let with = resonances.map(|resonance| {
            let (load, at) = (resonance.capacitance, resonance.hertz);
            format!("{} at {}", units::write(load, Quantity::Capacitance), units::write(at, Quantity::Frequency))
        });
        let from = format!("resonance with {} and {}", with[0], with[1]);
        draft.set_pickup(name, "inductance", inductance.as_str(), &from);
        draft.set_pickup(name, "capacitance", capacitance.as_str(), &from);
        Ok(format!("{name}: inductance {inductance}, capacitance {capacitance}, from {from}"))
    }

    fn contradictions(&self, guitar: &Guitar, parser: &mut Parser<'_>) {
        for (pickup, _) in &self.inductances {
            if self.resonances.iter().any(|(other, _)| other == pickup) {
                let name = &guitar.pickups[*pickup].name;
                let what = format!("the {name} pickup has an --inductance and a --resonance, which gives one too");
                parser.refuse(what, "keep the one you trust");
            }
        }
        let strings = guitar.strings.len();
        if let Some(plain) = self.plain.filter(|&plain| plain > strings) {
            parser.refuse(format!("{plain} plain strings are more than the {strings} there are"), "count them again");
        }
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
    let parts: Vec<Option<LoadedResonance>> = text.split(',').map(|part| read_resonance(parser, part.trim())).collect();
    if parts.len() != 2 {
        let what = format!("--resonance has {} resonances for a pickup", parts.len());
        parser.refuse(what, "find it with two capacitors: neck=570p:3.94kHz,2300p:2.09kHz");
        return None;
    }
    Some([parts[0]?, parts[1]?])
}

fn read_resonance(parser: &mut Parser<'_>, text: &str) -> Option<LoadedResonance> {
    let Some((capacitor, frequency)) = text.split_once(':') else {
        let what = format!("--resonance: `{text}` is no capacitor with a frequency");
        parser.refuse(what, "write CAPACITOR:FREQUENCY such as 570p:3.94kHz");
        return None;
    };
    let capacitance = parser.quantity("--resonance", capacitor.trim(), Quantity::Capacitance);
    let hertz = parser.quantity("--resonance", frequency.trim(), Quantity::Frequency);
    Some(LoadedResonance { capacitance: capacitance?, hertz: hertz? })
}
