//! Reading and writing of quantities.

use super::Quantity;

/// Why a text is not the quantity that is wanted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// No number at the start.
    #[error("`{text}` does not start with a number; write the {} such as {}", quantity.name(), quantity.example())]
    NoNumber {
        /// What was written.
        text: String,
        /// What was wanted.
        quantity: Quantity,
    },
    /// The unit is not one of the quantity's.
    #[error("`{unit}` is no unit of {}; write it such as {}", quantity.name(), quantity.example())]
    UnknownUnit {
        /// What was written behind the number.
        unit: String,
        /// What was wanted.
        quantity: Quantity,
    },
    /// A number without a unit.
    #[error("`{text}` has no unit; write the {} such as {}", quantity.name(), quantity.example())]
    NoUnit {
        /// What was written.
        text: String,
        /// What was wanted.
        quantity: Quantity,
    },
    /// A comma stands where the decimal point belongs.
    #[error("`{text}` has a comma; write a decimal point")]
    DecimalComma {
        /// What was written.
        text: String,
    },
    /// A number that no part has.
    #[error("`{text}` is beyond any {} of a guitar ({} to {})", quantity.name(),
        write(*quantity.sensible().start(), *quantity), write(*quantity.sensible().end(), *quantity))]
    OutOfRange {
        /// What was written.
        text: String,
        /// What was wanted.
        quantity: Quantity,
    },
}

/// Prefixes with their powers of ten. `K` is common on parts; `µ` comes as two characters that look the same.
const PREFIXES: [(&str, i32); 11] = [
    ("p", -12),
    ("n", -9),
    ("u", -6),
    ("\u{b5}", -6),
    ("\u{3bc}", -6),
    ("m", -3),
    ("c", -2),
    ("k", 3),
    ("K", 3),
    ("M", 6),
    ("G", 9),
];

/// Reads a quantity: a number, an SI prefix and a unit (`250k`, `0.047u`, `500 pF`, `2.4 H`, `648 mm`), or the code
/// of IEC 60062 in which the prefix stands at the decimal point (`4k7`, `2n2`, `4R7`). Returns SI.
///
/// # Errors
/// When the text is no such quantity, or one that no guitar part has.
pub fn parse(text: &str, quantity: Quantity) -> Result<f64, UnitError> {
    let trimmed = text.trim();
    if trimmed.contains(',') {
        return Err(UnitError::DecimalComma { text: text.into() });
    }
    let led_by_letter = trimmed.starts_with(char::is_alphabetic);
    let padded = if led_by_letter { format!("0{trimmed}") } else { trimmed.to_string() };
    let (number, rest) = split_number(&padded);
    if led_by_letter && coded(number, rest, quantity).is_none() {
        return Err(UnitError::NoNumber { text: text.into(), quantity });
    }
    let value: f64 = number.parse().map_err(|_| UnitError::NoNumber { text: text.into(), quantity })?;
    let value = match unit_of(rest, quantity) {
        Some(_) if rest.is_empty() && !quantity.may_be_bare() => {
            return Err(UnitError::NoUnit { text: text.into(), quantity });
        }
        Some((power, unit)) => scaled(value, power) * unit,
        None => coded(number, rest, quantity).ok_or_else(|| match rest {
            "" => UnitError::NoUnit { text: text.into(), quantity },
            _ => UnitError::UnknownUnit { unit: rest.into(), quantity },
        })?,
    };
    if quantity.sensible().contains(&value) {
        Ok(value)
    } else {
        Err(UnitError::OutOfRange { text: text.into(), quantity })
    }
}

/// Writes a quantity the way `parse` reads it, with at most four significant digits: `250k`, `47n`, `2.4 H`.
pub fn write(value: f64, quantity: Quantity) -> String {
    match quantity {
        Quantity::Level => return format!("{} dB", short(value)),
        Quantity::Share => return format!("{} %", short(value * 100.0)),
        Quantity::Length => return format!("{} mm", short(value * 1e3)),
        _ => {}
    }
    let unit = quantity.units()[0].0;
    let space = if unit.is_empty() { "" } else { " " };
    let scales = [(1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "u"), (1e-9, "n"), (1e-12, "p")];
    let (scale, prefix) = scales
        .into_iter()
        .filter(|&(_, prefix)| !(quantity == Quantity::Capacitance && prefix == "m"))
        .find(|&(scale, _)| value.abs() >= scale * 0.99995)
        .unwrap_or(if value == 0.0 { (1.0, "") } else { (1e-12, "p") });
    format!("{}{space}{prefix}{unit}", short(value / scale))
}

/// At most four significant digits, without trailing zeros.
fn short(value: f64) -> String {
    let digits = if value == 0.0 { 0 } else { value.abs().log10().floor() as i32 + 1 };
    let decimals = (4 - digits).clamp(0, 9) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

fn split_number(text: &str) -> (&str, &str) {
    let mut end = 0;
    for (i, c) in text.char_indices() {
        let exponent =
            matches!(c, 'e' | 'E') && text[i + 1..].starts_with(|c: char| c.is_ascii_digit() || "+-".contains(c));
        let sign = matches!(c, '+' | '-') && (i == 0 || matches!(text.as_bytes()[i - 1], b'e' | b'E'));
        if c.is_ascii_digit() || c == '.' || exponent || sign {
            end = i + c.len_utf8();
        } else {
            break;
        }
    }
    (&text[..end], text[end..].trim())
}

/// The power of ten and the unit's factor to SI that a text behind a number means.
fn unit_of(rest: &str, quantity: Quantity) -> Option<(i32, f64)> {
    for &(unit, factor) in quantity.units() {
        if rest == unit {
            return Some((0, factor));
        }
        let prefix = rest.strip_suffix(unit).map(str::trim_end);
        if let Some(&(_, power)) = PREFIXES.iter().find(|(name, _)| prefix == Some(name)) {
            let plain = !matches!(quantity, Quantity::Level | Quantity::Share) && factor == 1.0;
            return plain.then_some((power, factor));
        }
    }
    None
}

/// value x 10^power, correctly rounded: a division by an exact power of ten, not a product with an inexact one.
fn scaled(value: f64, power: i32) -> f64 {
    if power < 0 { value / 10f64.powi(-power) } else { value * 10f64.powi(power) }
}

/// The code of IEC 60062: `4k7` is 4.7 kohm, `R47` is 0.47 ohm.
fn coded(number: &str, rest: &str, quantity: Quantity) -> Option<f64> {
    let letter = rest.chars().next()?;
    let decimals = &rest[letter.len_utf8()..];
    let whole = !number.contains('.') && !number.is_empty();
    if !whole || decimals.is_empty() || !decimals.chars().all(|c| c.is_ascii_digit()) {
        return None;
    }
    let power = match (letter, quantity) {
        ('R', Quantity::Resistance) => 0,
        (_, Quantity::Resistance | Quantity::Capacitance) => {
            PREFIXES.iter().find(|(name, _)| name.starts_with(letter))?.1
        }
        _ => return None,
    };
    format!("{number}.{decimals}").parse::<f64>().ok().map(|value| scaled(value, power))
}
