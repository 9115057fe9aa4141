//! Figures of ruler and meter as they are typed.

use std::collections::HashMap;

use dryfit_dsp::calibration::{LoadedResonance, Measured};
use dryfit_dsp::document::Guitar;
use dryfit_dsp::units::{self, Quantity, note_hertz};

use crate::editor::Measure;

/// What was typed and makes sense, by what it is.
#[derive(Debug, Clone, Default, PartialEq)]
pub(in crate::app) struct Measures(HashMap<Measure, String>);

impl Measures {
    /// Keeps a figure as it was typed, or forgets it where nothing was.
    ///
    /// # Errors
    /// Why it makes no sense, in a sentence with what to type instead; what was there before is forgotten.
    pub(super) fn set(&mut self, guitar: &Guitar, measure: &Measure, typed: &str) -> Result<(), String> {
        self.0.remove(measure);
        if typed.trim().is_empty() {
            return Ok(());
        }
        check(guitar, measure, typed)?;
        if let Some(other) = rival(measure).filter(|other| self.0.contains_key(other)) {
            let other = if matches!(other, Measure::Inductance(_)) { "an inductance" } else { "resonances" };
            return Err(format!("this pickup has {other} already, which gives one too; keep the one you trust"));
        }
        self.0.insert(measure.clone(), typed.trim().into());
        Ok(())
    }

    /// A figure as it was typed; empty where it was not measured.
    pub(in crate::app) fn typed(&self, measure: &Measure) -> &str {
        self.0.get(measure).map_or("", String::as_str)
    }

    /// What makes sense for a guitar, in SI. A pickup that was measured under one string only has no distance yet.
    pub(in crate::app) fn read(&self, guitar: &Guitar) -> Measured {
        let typed = |measure: Measure| Some(self.typed(&measure)).filter(|typed| !typed.is_empty());
        let names = || guitar.pickups.iter().map(|pickup| pickup.name.clone()).enumerate();
        let each = |measure: &dyn Fn(String) -> Measure, quantity| {
            let of = |(pickup, name)| Some((pickup, units::parse(typed(measure(name))?, quantity).ok()?));
            names().filter_map(of).collect::<Vec<(usize, f64)>>()
        };
        let distance = |(pickup, name): (usize, String)| {
            let under = |low| length(typed(Measure::Distance { pickup: name.clone(), low })?).ok();
            Some((pickup, [under(true)?, under(false)?]))
        };
        let lengths = |text: &str| listed(text).map(|part| length(part).ok()).collect::<Option<Vec<f64>>>();
        Measured {
            scale_length: typed(Measure::ScaleLength).and_then(|text| length(text).ok()),
            gauges: typed(Measure::Gauges).and_then(lengths),
            plain: typed(Measure::Plain).and_then(|text| text.parse().ok()),
            tuning: typed(Measure::Tuning).map(|text| pitches(text).map(str::to_string).collect()),
            distances: names().filter_map(distance).collect(),
            resistances: each(&Measure::Resistance, Quantity::Resistance),
            inductances: each(&Measure::Inductance, Quantity::Inductance),
            resonances: names()
                .filter_map(|(pickup, name)| Some((pickup, resonances(typed(Measure::Resonances(name))?).ok()?)))
                .collect(),
        }
    }

    /// Pickups that were measured under one of the outer strings only.
    pub(in crate::app) fn halves<'a>(&'a self, guitar: &'a Guitar) -> impl Iterator<Item = &'a str> {
        let there = |pickup: &str, low| !self.typed(&Measure::Distance { pickup: pickup.into(), low }).is_empty();
        let names = guitar.pickups.iter().map(|pickup| pickup.name.as_str());
        names.filter(move |name| there(name, true) != there(name, false))
    }

    /// How many figures were typed.
    pub(in crate::app) fn count(&self) -> usize {
        self.0.len()
    }
}

/// The other way to the same figure.
fn rival(measure: &Measure) -> Option<Measure> {
    match measure {
        Measure::Inductance(pickup) => Some(Measure::Resonances(pickup.clone())),
        Measure::Resonances(pickup) => Some(Measure::Inductance(pickup.clone())),
        _ => None,
    }
}

fn check(guitar: &Guitar, measure: &Measure, typed: &str) -> Result<(), String> {
    let strings = guitar.strings.len();
    let quantity = |quantity| units::parse(typed, quantity).map(drop).map_err(|error| error.to_string());
    let one_each = |count: usize, such: &str| match count == strings {
        true => Ok(()),
        false => {
            Err(format!("{count} values for {strings} strings; type one for each, from the lowest, such as {such}"))
        }
    };
    match measure {
        Measure::ScaleLength => length(typed).and_then(|length| sensible(length, 0.3..=1.2, "a scale length")),
        Measure::Distance { .. } => {
            length(typed).and_then(|length| sensible(length, 5e-3..=guitar.scale_length / 2.0, "a pickup's distance"))
        }
        Measure::Gauges => {
            one_each(listed(typed).count(), "1.17 mm, 0.91 mm, .. or 0.046 in, 0.036 in, ..")?;
            listed(typed).try_for_each(|part| length(part).and_then(|gauge| sensible(gauge, 1e-4..=4e-3, "a gauge")))
        }
        Measure::Plain => match typed.trim().parse::<usize>() {
            Ok(count) if count <= strings => Ok(()),
            Ok(count) => Err(format!("{count} plain strings are more than the {strings} there are")),
            Err(_) => Err(format!("`{}` is no number of strings; type how many are plain, such as 3", typed.trim())),
        },
        Measure::Tuning => {
            one_each(pitches(typed).count(), "E2 A2 D3 G3 B3 E4")?;
            let is_pitch = |text: &str| note_hertz(text).is_some() || units::parse(text, Quantity::Frequency).is_ok();
            match pitches(typed).find(|text| !is_pitch(text)) {
                Some(text) => Err(format!(
                    "`{text}` is no pitch; type a note with its octave such as E2, or hertz such as 82.4Hz"
                )),
                None => Ok(()),
            }
        }
        Measure::Resistance(_) => quantity(Quantity::Resistance),
        Measure::Inductance(_) => quantity(Quantity::Inductance),
        Measure::Resonances(_) => resonances(typed).map(drop),
    }
}

/// A length with its unit, or a bare number of millimetres, in metres.
fn length(typed: &str) -> Result<f64, String> {
    let millimetres = typed.trim().parse::<f64>().map(|bare| format!("{bare} mm"));
    units::parse(millimetres.as_deref().unwrap_or(typed), Quantity::Length).map_err(|error| error.to_string())
}

fn sensible(length: f64, range: std::ops::RangeInclusive<f64>, what: &str) -> Result<(), String> {
    let write = |metres: f64| units::write(units::significant(metres, 3), Quantity::Length);
    match range.contains(&length) {
        true => Ok(()),
        false => Err(format!("{} is not {what} ({} to {})", write(length), write(*range.start()), write(*range.end()))),
    }
}

/// Values with commas or semicolons between them: a space may stand before a unit.
fn listed(typed: &str) -> impl Iterator<Item = &str> {
    typed.split([',', ';']).map(str::trim).filter(|part| !part.is_empty())
}

/// Pitches with anything between them.
fn pitches(typed: &str) -> impl Iterator<Item = &str> {
    typed.split([',', ';', ' ']).filter(|part| !part.is_empty())
}

/// `570p:3.94kHz, 2300p:2.09kHz`
fn resonances(typed: &str) -> Result<[LoadedResonance; 2], String> {
    const SUCH: &str = "type two, such as 570p:3.94kHz, 2300p:2.09kHz";
    let read = |part: &str| part.parse::<LoadedResonance>().map_err(|error| error.to_string());
    let all = listed(typed).map(read).collect::<Result<Vec<_>, _>>()?;
    all.try_into().map_err(|all: Vec<_>| format!("{} resonances; {SUCH}", all.len()))
}
