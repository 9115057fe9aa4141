//! Values of parameters as text, and back; and what a host's single precision means.

use dryfit_dsp::units::{self, Quantity};

/// Least and most cable capacitance, in picofarads: none to speak of, and a very long cable.
pub const CABLE_PICOFARADS: (f32, f32) = (10.0, 5000.0);
/// Least and most input resistance, in ohms: a low line input, and a very high instrument input.
pub const INPUT_OHMS: (f32, f32) = (10e3, 10e6);

/// The decimal number that a value in single precision means, to one part in `per_unit`; 0 when it is no number.
pub fn meant(value: f32, per_unit: f64) -> f64 {
    let meant = (f64::from(value) * per_unit).round() / per_unit;
    if meant.is_finite() { meant } else { 0.0 }
}

/// The decimal number of four significant digits that a value in single precision means, within limits: as many as a host's
/// normalised single precision carries through a skewed range, and as many as are shown.
pub fn significant(value: f32, (low, high): (f32, f32)) -> f64 {
    let value = if value.is_finite() { f64::from(value.clamp(low, high)) } else { f64::from(low) };
    units::significant(value, 4)
}

/// A number with at most that many decimals, without trailing zeros.
pub fn decimal(value: f32, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let short = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if short == "-0" { "0".into() } else { short.into() }
}

/// The number at the start of a text.
pub fn number(text: &str) -> Option<f32> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).unwrap_or(text.len());
    text[..end].parse().ok()
}

/// The whole number at the start of a text, such as of `2: bridge + middle`.
pub fn leading_number(text: &str) -> Option<i32> {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    text[..end].parse().ok()
}

/// A cable, without its unit: `500p`.
pub fn write_cable(picofarads: f32) -> String {
    units::write(significant(picofarads, CABLE_PICOFARADS) / 1e12, Quantity::Capacitance)
}

/// A cable in picofarads from `500p`, `0.5n`, `500 pF`, or a bare number of picofarads.
pub fn read_cable(text: &str) -> Option<f32> {
    let bare = text.trim().trim_end_matches('F').trim_end().parse::<f32>().ok();
    let farads = || units::parse(text, Quantity::Capacitance).ok().map(|farads| (farads * 1e12) as f32);
    bare.filter(|value| value.is_finite()).or_else(farads)
}

/// An input, without its unit: `1M`.
pub fn write_input(ohms: f32) -> String {
    units::write(significant(ohms, INPUT_OHMS), Quantity::Resistance)
}

/// An input in ohms from `1M`, `220k`, `1 MΩ`.
pub fn read_input(text: &str) -> Option<f32> {
    units::parse(text, Quantity::Resistance).ok().map(|ohms| ohms as f32)
}

/// A step of the tray: the value it puts in, behind its number. Steps beyond the last repeat it.
pub fn write_step(step: i32, values: &[String]) -> String {
    let Some(place) = usize::try_from(step).ok().and_then(|step| step.checked_sub(1)) else {
        return "0: own value".into();
    };
    match values.get(place).or(values.last()) {
        Some(value) => format!("{step}: {value}"),
        None => format!("{step}: empty"),
    }
}

/// A step of the tray from its number, or from one of the values in it.
pub fn read_step(text: &str, values: &[String]) -> Option<i32> {
    let text = text.trim();
    let place = values.iter().position(|value| value == text).and_then(|place| i32::try_from(place + 1).ok());
    place.or_else(|| leading_number(text))
}
