//! Readings as they are typed: `1=6.2k,2=open,1:tone=0=6.1k`.

use super::reading::Reading;
use crate::circuit::settings::{self, SettingError};
use crate::circuit::{Controls, standing};
use crate::document::Assembly;
use crate::units::{self, Quantity};

/// Reads readings: places and what the meter showed there, separated by commas. A place is a selector position, perhaps
/// with controls behind it (`1:tone=0`); what is not said stands on 10, switches in their first position.
///
/// # Errors
/// Every reading that makes no sense.
pub fn measured(text: &str, assembly: &Assembly) -> Result<Vec<Reading>, Vec<SettingError>> {
    let (mut readings, mut errors) = (Vec::new(), Vec::new());
    for entry in text.split(',').map(str::trim).filter(|entry| !entry.is_empty()) {
        match reading(entry, assembly) {
            Ok(again) if readings.iter().any(|known: &Reading| known.controls == again.controls) => {
                errors.push(refused(entry, "there is a reading of this place already", "give the one you trust"));
            }
            Ok(reading) => readings.push(reading),
            Err(more) => errors.extend(more),
        }
    }
    if readings.is_empty() && errors.is_empty() {
        errors.push(refused(text, "there is no reading", "write them such as 1=6.2k,2=open"));
    }
    if errors.is_empty() { Ok(readings) } else { Err(errors) }
}

/// How a place where a reading is taken is written: `2`, or `2:series=up` with a switch moved.
pub fn place(assembly: &Assembly, controls: &Controls) -> String {
    let moved = standing::moved(assembly, &controls.switches);
    let moved = moved.map(|(label, position)| format!(":{}={position}", label.replace(' ', "-")));
    std::iter::once(controls.position.to_string()).chain(moved).collect()
}

fn reading(entry: &str, assembly: &Assembly) -> Result<Reading, Vec<SettingError>> {
    let mend = "write it such as 1=6.2k, or 1:tone=0=6.2k with a knob turned";
    let Some((place, value)) = entry.rsplit_once('=') else {
        let mend = format!("{mend}; decimals take a point");
        return Err(vec![refused(entry, "a reading is written POSITION=OHMS", &mend)]);
    };
    let mut words = place.split(':');
    let position = words.next().unwrap_or_default().trim();
    if position.contains('=') {
        return Err(vec![refused(entry, "readings are separated by commas", "write them such as 1=6.2k,2=open")]);
    }
    let mut settings: Vec<String> = words.map(|word| word.trim().to_string()).collect();
    // A guitar without a selector has one position, and it may be named.
    if assembly.controls.positions > 1 || position != "1" {
        settings.push(format!("position={position}"));
    }
    let (mut parts, mut controls) = (assembly.clone(), Controls::default());
    let mut errors = settings::apply(&settings, &mut parts, &mut controls).err().unwrap_or_default();
    errors.iter_mut().for_each(|error| error.setting = entry.to_string());
    if parts != *assembly {
        errors.push(refused(
            entry,
            "a reading is taken on the parts as they are",
            "set controls only, such as 1:tone=0",
        ));
    }
    let ohms = ohms(entry, value.trim()).map_err(|error| errors.push(error)).unwrap_or_default();
    let place = standing::controls(assembly, &controls);
    if errors.is_empty() { Ok(Reading { controls, place, ohms }) } else { Err(errors) }
}

fn ohms(entry: &str, value: &str) -> Result<f64, SettingError> {
    match value.to_lowercase().as_str() {
        "open" | "ol" | "o.l" | "o.l." | "inf" => Ok(f64::INFINITY),
        "short" | "0" => Ok(0.0),
        _ => units::parse(value, Quantity::Resistance).map_err(|error| {
            refused(entry, &error.to_string(), "write ohms such as 6.2k, or `open` where the meter shows nothing")
        }),
    }
}

/// What may have been meant otherwise: readings without a unit that would be next to nothing for a pickup.
pub fn doubts(text: &str) -> Vec<String> {
    let entries = text.split(',').filter_map(|entry| Some((entry.trim(), entry.rsplit_once('=')?.1.trim())));
    let doubtful = entries.filter(|(_, value)| value.parse::<f64>().is_ok_and(|ohms| (1.0..100.0).contains(&ohms)));
    doubtful
        .map(|(entry, value)| format!("`{entry}`: note: {value} is {value} ohm; for kilohms write {value}k"))
        .collect()
}

fn refused(setting: &str, what: &str, mend: &str) -> SettingError {
    SettingError { setting: setting.into(), what: what.into(), mend: mend.into(), unknown_key: false }
}
