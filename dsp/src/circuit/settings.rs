//! `K=V` into controls, part values and load.

use std::collections::HashSet;

use super::controls::Controls;
use crate::document::{AssembledKind, Assembly, suggestion};
use crate::units::{self, Quantity};

/// Why a setting makes no sense.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("`{setting}`: error: {what}\n    mend: {mend}")]
pub struct SettingError {
    /// As written.
    pub setting: String,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
    /// Whether the wiring just has nothing of that name; another one may.
    pub unknown_key: bool,
}

/// Applies settings to an assembly's part values and to controls.
///
/// A key is `position`, a control's label (spaces may be written as `-`), a part's name, `cable` or `input`. Where a
/// control and a part have one name, a bare number 0 to 10 turns the control, and a value such as `500k` changes the part.
///
/// # Errors
/// Every setting that makes no sense. The others are applied all the same.
pub fn apply(settings: &[String], assembly: &mut Assembly, controls: &mut Controls) -> Result<(), Vec<SettingError>> {
    let mut errors = Vec::new();
    for setting in settings {
        let outcome = match setting.split_once('=') {
            Some((key, value)) => apply_one(key.trim(), value.trim(), assembly, controls),
            None => Err(refused("a setting is written KEY=VALUE", "write it such as tone=3")),
        };
        if let Err(refusal) = outcome {
            let Refusal { what, mend, unknown_key } = refusal;
            errors.push(SettingError { setting: setting.clone(), what, mend, unknown_key });
        }
    }
    if errors.is_empty() { Ok(()) } else { Err(errors) }
}

/// Whether one of the settings names the control of that label.
pub fn name(settings: &[String], label: &str) -> bool {
    let keys = settings.iter().filter_map(|setting| setting.split_once('='));
    keys.map(|(key, _)| key.trim()).any(|key| is_label(key, label))
}

/// Whether a key means the control of that label.
fn is_label(key: &str, label: &str) -> bool {
    label == key || label.replace(' ', "-") == key
}

type Outcome = Result<(), Refusal>;

/// A [`SettingError`] without the setting.
struct Refusal {
    what: String,
    mend: String,
    unknown_key: bool,
}

fn refused(what: impl Into<String>, mend: impl Into<String>) -> Refusal {
    Refusal { what: what.into(), mend: mend.into(), unknown_key: false }
}

fn apply_one(key: &str, value: &str, assembly: &mut Assembly, controls: &mut Controls) -> Outcome {
    match key {
        "position" => return set_position(value, assembly, controls),
        "cable" => return quantity(value, Quantity::Capacitance).map(|cable| controls.load.cable = cable),
        "input" => return quantity(value, Quantity::Resistance).map(|input| controls.load.input = input),
        _ => {}
    }
    let label = assembly.controls.labels().find(|label| is_label(key, label));
    let label = label.map(str::to_string);
    let bare = value.parse::<f64>().is_ok();
    let part_has_value = assembly.part(key).is_some_and(|part| has_value(&part.kind));
    match label {
        Some(label) if part_has_value => {
            let outcome = if bare { turn(&label, value, assembly, controls) } else { set_part(key, value, assembly) };
            let both =
                format!("a number from 0 to 10 turns the control `{label}`, a value such as 250k changes the part");
            outcome.map_err(|refusal| Refusal { mend: both, ..refusal })
        }
        Some(label) => turn(&label, value, assembly, controls),
        None if assembly.part(key).is_some() => set_part(key, value, assembly),
        None => Err(unknown(key, assembly)),
    }
}

fn set_position(value: &str, assembly: &Assembly, controls: &mut Controls) -> Outcome {
    let positions = assembly.controls.positions;
    match value.parse::<u8>() {
        Ok(position) if (1..=positions).contains(&position) => {
            controls.position = position;
            Ok(())
        }
        _ if positions == 1 => Err(refused("the wiring has no selector", "leave the position out")),
        _ => {
            let mend = format!("give 1 (bridge end) to {positions}");
            Err(refused(format!("the selector has no position `{value}`"), mend))
        }
    }
}

fn turn(label: &str, value: &str, assembly: &Assembly, controls: &mut Controls) -> Outcome {
    if let Some(knob) = assembly.controls.knob(label) {
        return match value.parse::<f64>() {
            Ok(turned) if (0.0..=10.0).contains(&turned) => {
                controls.knobs[knob] = turned;
                Ok(())
            }
            _ => Err(refused(format!("`{value}` is no place on a dial"), "give a number from 0 to 10")),
        };
    }
    let index = assembly.controls.switch(label);
    let found = assembly.parts.iter().find_map(|part| match &part.kind {
        AssembledKind::Switch { switch, index: Some(other), .. } if Some(*other) == index => Some((switch, *other)),
        _ => None,
    });
    let Some((switch, index)) = found else { return Err(unknown(label, assembly)) };
    match switch.position(value) {
        Some(position) => {
            controls.switches[index] = position;
            Ok(())
        }
        None => {
            let names: Vec<_> = switch.positions.iter().filter_map(|position| position.name.as_deref()).collect();
            let mend = format!("give a number from 1 to {}{}", switch.positions.len(), list(" or one of ", &names));
            let near = suggestion(value, names);
            Err(refused(format!("the switch `{label}` has no position `{value}`{near}"), mend))
        }
    }
}

fn set_part(name: &str, value: &str, assembly: &mut Assembly) -> Outcome {
    let Some(part) = assembly.part_mut(name) else { return Ok(()) };
    let target = match &mut part.kind {
        AssembledKind::Pot { pot, .. } => (&mut pot.resistance, Quantity::Resistance),
        AssembledKind::Resistor { resistance, .. } => (resistance, Quantity::Resistance),
        AssembledKind::Capacitor { capacitance, .. } => (capacitance, Quantity::Capacitance),
        AssembledKind::Switch { .. } | AssembledKind::Pickup(_) | AssembledKind::Jack => {
            let mend = "set pots, capacitors, resistors and controls; a pickup is described in the guitar";
            return Err(refused(format!("`{name}` has no value to set"), mend));
        }
    };
    *target.0 = quantity(value, target.1)?;
    Ok(())
}

fn has_value(kind: &AssembledKind) -> bool {
    matches!(kind, AssembledKind::Pot { .. } | AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. })
}

fn quantity(value: &str, quantity: Quantity) -> Result<f64, Refusal> {
    units::parse(value, quantity)
        .map_err(|error| refused(error.to_string(), format!("write it as {}", quantity.example())))
}

fn unknown(key: &str, assembly: &Assembly) -> Refusal {
    let mut keys: Vec<String> = assembly.controls.labels().map(|label| label.replace(' ', "-")).collect();
    keys.extend(assembly.parts.iter().filter(|part| has_value(&part.kind)).map(|part| part.name.clone()));
    keys.extend(["position", "cable", "input"].map(String::from));
    let mut seen = HashSet::new();
    keys.retain(|key| seen.insert(key.clone()));
    let near = suggestion(key, keys.iter().map(String::as_str));
    let what = format!("`{}` has no control or part `{key}`{near}", assembly.title);
    Refusal { what, mend: format!("use one of {}", keys.join(", ")), unknown_key: true }
}

fn list(lead: &str, names: &[&str]) -> String {
    if names.is_empty() { String::new() } else { format!("{lead}{}", names.join(", ")) }
}
