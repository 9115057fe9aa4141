//! What ruler and meter said, into a guitar's document.

use super::draft::{Draft, list};
use crate::calibration::resonance::{LoadedResonance, ResonanceError, damped};
use crate::document::{Guitar, StringMaterial};
use crate::units::{self, Quantity, significant};

/// What ruler and meter said, by index of string and pickup; SI.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    /// Length of an open string, in metres.
    pub scale_length: Option<f64>,
    /// Gauge of each string, in metres.
    pub gauges: Option<Vec<f64>>,
    /// How many of the strings, from the highest, are plain.
    pub plain: Option<usize>,
    /// Pitch of each open string, as a document has it.
    pub tuning: Option<Vec<String>>,
    /// Distances from the bridge under the lowest and the highest string, in metres.
    pub distances: Vec<(usize, [f64; 2])>,
    /// DC resistance, in ohms.
    pub resistances: Vec<(usize, f64)>,
    /// Inductance, in henries.
    pub inductances: Vec<(usize, f64)>,
    /// Two resonances with known capacitors across the coil.
    pub resonances: Vec<(usize, [LoadedResonance; 2])>,
}

/// Input resistance of the instrument that resonances are found with, in ohms: that of a common probe or DI (from memory).
const INSTRUMENT_INPUT: f64 = 1e6;

/// Two resonances do not belong to one coil.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{pickup}: {why}")]
pub struct NotOneCoil {
    /// The pickup's name.
    pub pickup: String,
    /// Why they do not.
    pub why: ResonanceError,
}

impl Measured {
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
    pub fn write(&self, draft: &mut Draft, guitar: &Guitar) -> Result<Vec<String>, NotOneCoil> {
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
    ) -> Result<String, NotOneCoil> {
        let name = &guitar.pickups[pickup].name;
        let mut coil = guitar.pickups[pickup].coil.clone();
        if let Some((_, resistance)) = self.resistances.iter().find(|(other, _)| *other == pickup) {
            coil.resistance = *resistance;
        }
        let found = damped(resonances[0], resonances[1], &coil, INSTRUMENT_INPUT)
            .map_err(|why| NotOneCoil { pickup: name.clone(), why })?;
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
}
