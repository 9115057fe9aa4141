//! Filters short enough for a page: cut, and rounded to 16 bits.

use dryfit_dsp::conversion::Grid;
use dryfit_dsp::filter::{Designer, Filter};
use num_complex::Complex64;

/// The most that the taps beyond the cut may add up to, against all of them. It bounds what the cut does to any frequency (0.02 dB
/// where nothing is turned down); what it does is far less, and `Knobs::error_db` says how much.
const CUT: f32 = 2e-3;
/// The largest code.
const HIGHEST: f32 = 32_767.0;

/// Designs full filters at one sample rate.
pub(super) struct Workshop {
    designer: Designer,
    filter: Filter,
}

/// A filter in 16 bits.
#[derive(Debug, Clone)]
pub(super) struct ShortFilter {
    /// What a code is worth.
    pub(super) scale: f32,
    pub(super) codes: Vec<i16>,
}

impl Workshop {
    pub(super) fn new(grid: &Grid, sample_rate: u32) -> Self {
        let designer = Designer::new(grid, f64::from(sample_rate));
        let filter = designer.silent();
        Self { designer, filter }
    }

    /// The taps of the minimum-phase filter that has this ln|G|.
    pub(super) fn taps(&mut self, log_gain: &[f64; Grid::POINTS]) -> Vec<f32> {
        self.designer.design(log_gain, &mut self.filter);
        self.filter.taps.clone()
    }
}

/// The length after which a filter may end.
fn needed(taps: &[f32]) -> usize {
    let allowed = CUT * taps.iter().map(|tap| tap.abs()).sum::<f32>();
    let mut beyond = 0.0;
    let last = taps.iter().rposition(|tap| {
        beyond += tap.abs();
        beyond > allowed
    });
    last.map_or(1, |last| last + 1)
}

impl ShortFilter {
    /// Cuts and rounds.
    pub(super) fn new(taps: &[f32]) -> Self {
        let taps = &taps[..needed(taps)];
        let peak = taps.iter().fold(f32::MIN_POSITIVE, |peak, tap| peak.max(tap.abs()));
        let scale = peak / HIGHEST;
        Self { scale, codes: taps.iter().map(|tap| (tap / scale).round() as i16).collect() }
    }

    /// Its response at a frequency, in hertz.
    pub(super) fn response(&self, hertz: f64, sample_rate: u32) -> Complex64 {
        let step = Complex64::from_polar(1.0, -std::f64::consts::TAU * hertz / f64::from(sample_rate));
        // Horner's scheme, from the last tap on.
        let sum = self.codes.iter().rev().fold(Complex64::default(), |sum, code| sum * step + f64::from(*code));
        sum * f64::from(self.scale)
    }
}
