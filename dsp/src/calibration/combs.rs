//! Measured combs beside the fitted ones, for the eye.

use super::fitting::{Datum, Fit};
use super::session::{Circuit, Session};
use crate::string::StiffString;

/// What the pickups of a pass make of one string over frequency, in dB: as measured, without what note, pluck and string have to do with it, and
/// as fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Comb {
    /// The pass.
    pub pass: usize,
    /// The string, 0 for the lowest.
    pub string: usize,
    /// Partials of all notes on it: frequency in hertz, level in dB.
    pub measured: Vec<(f64, f64)>,
    /// The fitted curve.
    pub fitted: Vec<(f64, f64)>,
}

/// Frequencies of a curve, in hertz, and how many.
const RANGE: (f64, f64) = (80.0, 6500.0);
const POINTS: usize = 400;
/// Partials that other things hide, by so many dB, are not shown.
const CLEAR_DB: f64 = 3.0;

pub(super) fn combs(session: &Session<'_>, strings: &[StiffString], data: &[Datum], fit: &Fit) -> Vec<Comb> {
    let mut combs = Vec::new();
    for pass in 0..session.passes.len() {
        for (string, stiff) in strings.iter().enumerate() {
            let own: Vec<&Datum> = data.iter().filter(|datum| datum.pass == pass && datum.string == string).collect();
            let Some(first) = own.first() else { continue };
            let clear = own.iter().filter(|datum| datum.noise_db < CLEAR_DB);
            let measured = clear.map(|datum| {
                let (all, sensed) = fit.predicted_db(datum);
                (datum.hertz, datum.level_db - fit.offset_db - (all - sensed))
            });
            let circuit = Circuit::new(session, session.passes[pass].position);
            let at = |point: usize| {
                let hertz = RANGE.0 * (RANGE.1 / RANGE.0).powf(point as f64 / (POINTS - 1) as f64);
                let wavenumber = 1e-3 * stiff.wavenumber(hertz);
                let datum = Datum { hertz, wavenumber, responses: circuit.at(hertz), ..(*first).clone() };
                (hertz, fit.predicted_db(&datum).1)
            };
            combs.push(Comb { pass, string, measured: measured.collect(), fitted: (0..POINTS).map(at).collect() });
        }
    }
    combs
}
