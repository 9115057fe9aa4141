//! One partial of one note, and what the model says of it.

use num_complex::Complex64;

use super::layout::{CURVE, DEPTH, KNOTS, LEVEL, Layout, MIDDLE, PLUCK, SLANT, TILT, VOICE, WIDTH};
use crate::string::sensing;

/// One partial of one note.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::calibration) struct Datum {
    /// Its note, pass and string.
    pub(in crate::calibration) note: usize,
    pub(in crate::calibration) pass: usize,
    pub(in crate::calibration) string: usize,
    /// Where the string lies, from -1/2 (lowest) to 1/2 (highest).
    pub(in crate::calibration) across: f64,
    /// The partial's number.
    pub(in crate::calibration) n: f64,
    /// In hertz.
    pub(in crate::calibration) hertz: f64,
    /// In radians per millimetre.
    pub(in crate::calibration) wavenumber: f64,
    /// Level at the jack, in dB.
    pub(in crate::calibration) level_db: f64,
    /// Standard deviation of that by what else is in the recording, in dB.
    pub(in crate::calibration) noise_db: f64,
    /// Response of each pickup at the jack, with the sign of its winding and magnet.
    pub(in crate::calibration) responses: Vec<Complex64>,
}

/// What a pluck's comb holds where it is deepest, as a power: the other polarisation, the width of the pick.
const PLUCK_FLOOR: f64 = 0.01;
/// Octaves are counted from this, in hertz.
const CENTRE: f64 = 700.0;

impl Datum {
    /// The model's level, in dB.
    pub(super) fn predict(&self, layout: &Layout, parameters: &[f64]) -> f64 {
        self.radiated_db(layout, parameters)
            + self.plucked_db(parameters[layout.note(self.note) + PLUCK])
            + self.sensed_db(layout, parameters)
    }

    /// What is linear in its parameters: level and tilt of the note, level of the pass, what the string radiates over 1/n.
    pub(super) fn radiated_db(&self, layout: &Layout, parameters: &[f64]) -> f64 {
        self.radiating(layout).map(|(index, share)| share * parameters[index]).sum::<f64>() - 20.0 * self.n.log10()
    }

    /// Those parameters with their factors.
    pub(super) fn radiating(&self, layout: &Layout) -> impl Iterator<Item = (usize, f64)> + use<> {
        let note = layout.note(self.note);
        let (knot, share) = self.knot();
        let curve = layout.curve(self.string) + knot;
        [
            (note + LEVEL, 1.0),
            (note + TILT, self.octaves()),
            (layout.pass(self.pass), 1.0),
            (curve, 1.0 - share),
            (curve + 1, share),
        ]
        .into_iter()
    }

    pub(super) fn octaves(&self) -> f64 {
        (self.hertz / CENTRE).log2()
    }

    /// Comb of a pluck at that many millimetres from the bridge, in dB.
    pub(super) fn plucked_db(&self, pluck: f64) -> f64 {
        10.0 * ((self.wavenumber * pluck).sin().powi(2) + PLUCK_FLOOR).log10()
    }

    /// What the pickups make of it together, in dB.
    pub(in crate::calibration) fn sensed_db(&self, layout: &Layout, parameters: &[f64]) -> f64 {
        let (mut sum, mut filling) = (Complex64::ZERO, 0.0);
        for (pickup, response) in self.sounding() {
            let own = &parameters[layout.pickup(pickup)..];
            let half = 0.5 * self.wavenumber * own[WIDTH];
            let aperture = if half.abs() < 1e-6 { 1.0 } else { half.sin() / half };
            let knots: [(f64, f64); KNOTS.len()] = std::array::from_fn(|at| (KNOTS[at], own[VOICE + at]));
            let voice_db = sensing::voicing_db(&knots, self.hertz);
            let heard = response * (10f64.powf(voice_db / 20.0) * aperture);
            sum += heard * (self.wavenumber * (own[MIDDLE] + self.across * own[SLANT])).sin();
            filling += heard.norm_sqr() * 10f64.powf(own[DEPTH] / 10.0);
        }
        10.0 * (sum.norm_sqr() + filling + 1e-12).log10()
    }

    /// Whether a pickup is heard.
    pub(in crate::calibration) fn is_heard(&self, pickup: usize) -> bool {
        self.sounding().any(|(heard, _)| heard == pickup)
    }

    /// Pickups that are heard.
    pub(in crate::calibration) fn sounding(&self) -> impl Iterator<Item = (usize, Complex64)> {
        /// Weaker than this against the strongest is not.
        const HEARD: f64 = 1e-3;
        let strongest = self.responses.iter().fold(0.0f64, |max, response| max.max(response.norm()));
        let heard = move |(_, response): &(usize, Complex64)| response.norm() > HEARD * strongest;
        self.responses.iter().copied().enumerate().filter(heard)
    }

    /// Knot below it on the string's curve, and how far it lies towards the next.
    fn knot(&self) -> (usize, f64) {
        let hertz = self.hertz.clamp(CURVE[0], CURVE[CURVE.len() - 1]);
        let below = CURVE.partition_point(|&knot| knot <= hertz).clamp(1, CURVE.len() - 1) - 1;
        (below, (hertz / CURVE[below]).ln() / (CURVE[below + 1] / CURVE[below]).ln())
    }
}
