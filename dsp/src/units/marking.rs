//! How values are marked on parts, after IEC 60062.

use super::Quantity;

/// A resistance or capacitance in the code of IEC 60062, in which the letter of the multiplier stands where the decimal
/// point would: `R47`, `4R7`, `4K7`, `47K3`; `4p7`, `47n`, `2n2`, `1µ`. At most four significant digits, as they are
/// marked. None for other quantities, and for values beyond the letters.
pub fn marking(value: f64, quantity: Quantity) -> Option<String> {
    let letters: &[(f64, char)] = match quantity {
        Quantity::Resistance => &[(1e9, 'G'), (1e6, 'M'), (1e3, 'K'), (1.0, 'R')],
        Quantity::Capacitance => &[(1e-6, 'µ'), (1e-9, 'n'), (1e-12, 'p')],
        _ => return None,
    };
    let (smallest, _) = letters[letters.len() - 1];
    if !value.is_finite() || value < smallest / 100.0 {
        return None;
    }
    let rounded = four_digits(value);
    // A part of 999.96 is marked as 1000 and takes the next letter.
    let fits = |&&(scale, _): &&(f64, char)| rounded >= scale * (1.0 - 1e-9);
    let &(scale, letter) = letters.iter().find(fits).unwrap_or(&letters[letters.len() - 1]);
    let text = format!("{:.3}", rounded / scale);
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    let whole = if whole == "0" { "" } else { whole };
    let kept = 4usize.saturating_sub(whole.len()).min(3);
    Some(format!("{whole}{letter}{}", decimals[..kept].trim_end_matches('0')))
}

fn four_digits(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}
