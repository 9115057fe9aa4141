//! How much each string holds where, before any pickup.

use crate::document::Guitar;

/// Power below the open string, relative to that at its fundamental.
const BELOW: f64 = 1e-3;
/// Where the rise towards the open string begins, as a share of its pitch. Two semitones: the note below the open string
/// is half-way down, and the rise is as wide as two points of the grid.
const EDGE: f64 = 0.9;

/// Power per string and frequency, relative between strings; their common scale is of no consequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Energies {
    /// One row per string, from the lowest, each with one power per frequency.
    pub per_string: Vec<Vec<f64>>,
}

impl Energies {
    /// What is assumed when nothing is known of the playing: [`prior`] of each string at each frequency (in hertz).
    pub fn prior(guitar: &Guitar, hertz: &[f64]) -> Self {
        let of_string = |pitch: f64| hertz.iter().map(|&f| prior(pitch, f)).collect();
        Self { per_string: guitar.strings.iter().map(|string| of_string(string.pitch)).collect() }
    }
}

/// Prior power of a string of that pitch at a frequency (both in hertz): nothing to speak of below 0.9 of the open string,
/// 1 at its fundamental, then (f0/f)^2.
///
/// The square is one of *power*: amplitudes fall with 1/n, 6 dB an octave. A plucked string's displacement falls with
/// 1/n^2 and so its velocity, to which the EMF is proportional, with 1/n. The reference study weighs power with just this
/// (`an` in place/t1.py), and its figures for the best static filter rest on it. The design page's "-12 dB/octave" is the
/// same curve in 20 lg of that weight (or the displacement's, in power). Averages over whole notes fall by about 6 dB in the
/// first octave and 7 to 12 after it, as high partials die sooner (the study's trained prior, place/prior.npy); for the ratio that a static filter is
/// made of only the balance between strings counts.
pub fn prior(pitch: f64, hertz: f64) -> f64 {
    let harmonic = hertz / pitch;
    if harmonic >= 1.0 {
        return 1.0 / (harmonic * harmonic);
    }
    let rise = ((harmonic / EDGE).ln() / (1.0 / EDGE).ln()).clamp(0.0, 1.0);
    // Eased at both ends, in dB over ln(f), so that a coarse grid finds no corner.
    BELOW.powf(1.0 - rise * rise * (3.0 - 2.0 * rise))
}
