//! Inductance and winding capacitance of a coil from its resonance with two known capacitors across it.
//!
//! The resonance f with a capacitor C_k beside the winding's own capacitance C obeys (Thomson) 1 / (2 pi f)^2 = L (C + C_k), so that
//! 1 / f^2 over C_k is a straight line: its slope gives L, where it meets the axis gives -C. That is how the distributed
//! capacitance of a coil is measured since the early days of radio (Terman, Radio Engineers' Handbook, 1943, from memory).

use std::f64::consts::TAU;
use std::str::FromStr;

use num_complex::Complex64;

use crate::document::Coil;
use crate::units::{self, Quantity, UnitError};

/// Where a coil resonates with a known capacitor across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadedResonance {
    /// All that stands across the coil: capacitor, lead and the instrument's input together, in farads.
    pub capacitance: f64,
    /// Frequency at which the voltage across it is highest, in hertz.
    pub hertz: f64,
}

/// Why a text is no resonance.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ResonanceTextError {
    /// There is no colon in it.
    #[error("`{0}` is no capacitor with a frequency; write CAPACITOR:FREQUENCY such as 570p:3.94kHz")]
    NoPair(String),
    /// One of the two is not what it should be.
    #[error(transparent)]
    NoQuantity(#[from] UnitError),
}

/// `570p:3.94kHz`: a capacitor and the frequency found with it.
impl FromStr for LoadedResonance {
    type Err = ResonanceTextError;

    fn from_str(text: &str) -> Result<Self, ResonanceTextError> {
        let parts = text.split_once(':').ok_or_else(|| ResonanceTextError::NoPair(text.trim().into()))?;
        let capacitance = units::parse(parts.0.trim(), Quantity::Capacitance)?;
        Ok(Self { capacitance, hertz: units::parse(parts.1.trim(), Quantity::Frequency)? })
    }
}

/// A coil's inductance and winding capacitance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reactances {
    /// In henries; with a base plate or cover as it acts.
    pub inductance: f64,
    /// In farads.
    pub capacitance: f64,
}

/// Why two resonances give no coil.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ResonanceError {
    /// One point makes no line.
    #[error("both resonances were found with the same capacitor; use two that differ by a factor of two or more")]
    SameLoad,
    /// The larger capacitor must give the lower resonance.
    #[error(
        "the larger capacitor ({}) does not give the lower resonance; were the two mixed up?",
        units::write(*capacitance, Quantity::Capacitance)
    )]
    NotLower {
        /// The larger of the two, in farads.
        capacitance: f64,
    },
    /// The line meets the axis on the wrong side.
    #[error(
        "the winding would have a capacitance of {:.0} pF; find both resonances again, and count the lead and the instrument's input \
         to both capacitors",
        capacitance * 1e12
    )]
    NoCapacitance {
        /// What came out, in farads.
        capacitance: f64,
    },
    /// Losses leave no maximum.
    #[error("with its resistances this coil has no resonance at such frequencies; are they right?")]
    NoPeak,
}

/// L and C of a coil without losses, in closed form: L = (1/w_2^2 - 1/w_1^2) / (C_2 - C_1), C = 1 / (L w_1^2) - C_1.
///
/// # Errors
/// When the two do not belong to one coil.
pub fn inductance_and_capacitance(one: LoadedResonance, other: LoadedResonance) -> Result<Reactances, ResonanceError> {
    let (small, large) = if one.capacitance <= other.capacitance { (one, other) } else { (other, one) };
    if small.capacitance == large.capacitance {
        return Err(ResonanceError::SameLoad);
    }
    let square = |resonance: LoadedResonance| (TAU * resonance.hertz).powi(-2);
    let rise = square(large) - square(small);
    if rise <= 0.0 {
        return Err(ResonanceError::NotLower { capacitance: large.capacitance });
    }
    let inductance = rise / (large.capacitance - small.capacitance);
    let capacitance = square(small) / inductance - small.capacitance;
    if capacitance < 0.0 {
        return Err(ResonanceError::NoCapacitance { capacitance });
    }
    Ok(Reactances { inductance, capacitance })
}

/// The same for a real coil, of which the resistance and the eddy-current branches are taken from `coil`, measured into `input` ohms.
///
/// Losses move the maximum off the frequency of the closed form (by 1 to 4 % for single coils). The closed form is therefore asked for
/// frequencies that are corrected by how far the model's own maximum lies off them, until the model's lie where they were measured.
///
/// # Errors
/// When the two do not belong to one coil, or a coil with such losses has no maximum.
pub fn damped(
    one: LoadedResonance,
    other: LoadedResonance,
    coil: &Coil,
    input: f64,
) -> Result<Reactances, ResonanceError> {
    /// Enough: each round leaves about a tenth of the error of the one before.
    const ROUNDS: usize = 30;
    let (mut asked_one, mut asked_other) = (one, other);
    let mut found = inductance_and_capacitance(one, other)?;
    for _ in 0..ROUNDS {
        for (asked, measured) in [(&mut asked_one, one), (&mut asked_other, other)] {
            let peak = peak(found, coil, measured.capacitance, input).ok_or(ResonanceError::NoPeak)?;
            asked.hertz *= measured.hertz / peak;
        }
        found = inductance_and_capacitance(asked_one, asked_other)?;
    }
    Ok(found)
}

/// Frequency, in hertz, at which the voltage across a coil with these reactances and the losses of `coil` is highest, with `load`
/// farads and `input` ohms across it; none where there is no maximum above 0 Hz.
pub fn peak(reactances: Reactances, coil: &Coil, load: f64, input: f64) -> Option<f64> {
    let losses = [coil.eddy_resistance, coil.plate.as_ref().map(|plate| plate.eddy_resistance)];
    let losses: f64 = losses.into_iter().flatten().map(|eddy| 1.0 / eddy).sum();
    let level = |hertz: f64| {
        let omega = TAU * hertz;
        let across = Complex64::new(losses, -1.0 / (omega * reactances.inductance));
        let load = Complex64::new(1.0 / input, omega * (reactances.capacitance + load));
        1.0 / (1.0 + (across.inv() + coil.resistance) * load).norm_sqr()
    };
    let lossless = 1.0 / (TAU * (reactances.inductance * (reactances.capacitance + load)).sqrt());
    // Losses never lift a maximum by more than a few percent; below a fifth there is none worth the name.
    let (mut low, mut high) = (0.2 * lossless, 1.3 * lossless);
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    for _ in 0..80 {
        let (left, right) = (high - golden * (high - low), low + golden * (high - low));
        if level(left) < level(right) { low = left } else { high = right }
    }
    let found = 0.5 * (low + high);
    (found > 0.201 * lossless).then_some(found)
}
