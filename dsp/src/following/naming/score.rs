//! How well a string explains peaks.

use super::peaks::Peaks;
use crate::string::StiffString;

/// Partials that are looked at.
pub(super) const PARTIALS: usize = 24;
/// Partials above this are not, in hertz.
const TOP_HERTZ: f32 = 6500.0;

/// What came of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Score {
    /// Sum over the partials, less what a mistuning costs.
    pub(super) sum: f32,
    /// How far the string sounds above its documented pitch, in cents.
    pub(super) cents: f32,
    /// What the mistuning costs.
    pub(super) penalty: f32,
    /// What each partial gives; without a mask.
    pub(super) partials: [f32; PARTIALS],
}

/// Scores candidates up to so many cents beside their documented pitch. Holds the curve ln(0.97 exp(-x) + 0.03) - ln 0.03.
#[derive(Debug, Clone)]
pub(super) struct Scorer {
    reach_cents: i32,
    curve: Vec<f32>,
}

impl Scorer {
    /// A partial that is not there, or another's, costs nothing more than this chance.
    const OUTLIER: f32 = 0.03;
    /// Standard deviation of pitch, in cents.
    const SPREAD: f32 = 15.0;
    /// Strings are fretted and plucked a little sharp, in cents.
    const SHARP: f32 = 3.0;
    /// How far apart is looked at first, in cents; half as far at last.
    const COARSE: i32 = 4;
    /// Relative error of B, and of a partial whatever it is.
    const STIFFNESS_ERROR: f32 = 0.15;
    const PARTIAL_ERROR: f32 = 4e-4;
    const PER_UNIT: f32 = 32.0;
    const END: f32 = 8.0;

    pub(super) fn new(reach_cents: i32) -> Self {
        let points = (Self::END * Self::PER_UNIT) as usize + 1;
        let value = |i: usize| {
            let x = i as f32 / Self::PER_UNIT;
            ((1.0 - Self::OUTLIER) * (-x).exp() + Self::OUTLIER).ln() - Self::OUTLIER.ln()
        };
        Self { reach_cents, curve: (0..points).map(value).collect() }
    }

    /// The best score over all pitches near the candidate's. `mask` says which partials count.
    pub(super) fn score(&self, peaks: &Peaks, candidate: StiffString, mask: &[bool; PARTIALS]) -> Score {
        let partials = Partials::new(candidate, mask);
        let mut best = (f32::MIN, 0);
        for cents in (-self.reach_cents..=self.reach_cents).step_by(Self::COARSE as usize) {
            let sum = self.sum(peaks, &partials, cents);
            if sum > best.0 {
                best = (sum, cents);
            }
        }
        for cents in [best.1 - Self::COARSE / 2, best.1 + Self::COARSE / 2] {
            let sum = self.sum(peaks, &partials, cents);
            if sum > best.0 {
                best = (sum, cents);
            }
        }
        // Between the steps, by a parabola: a pitch that steps would waver.
        let step = Self::COARSE / 2;
        let beside = [best.1 - step, best.1 + step].map(|cents| self.sum(peaks, &partials, cents));
        let curvature = beside[0] - 2.0 * best.0 + beside[1];
        let off = if curvature < 0.0 { 0.5 * (beside[0] - beside[1]) / curvature * step as f32 } else { 0.0 };
        let mut of_partials = [0.0; PARTIALS];
        let fundamental = partials.fundamental(best.1);
        for (n, value) in of_partials.iter_mut().enumerate().take(partials.count) {
            *value = self.partial(peaks, &partials.all[n], fundamental);
        }
        let penalty = Self::penalty(best.1);
        Score { sum: best.0, cents: best.1 as f32 + off.clamp(-1.0, 1.0) + Self::SHARP, penalty, partials: of_partials }
    }

    fn penalty(cents: i32) -> f32 {
        0.5 * (cents as f32 / Self::SPREAD).powi(2)
    }

    fn sum(&self, peaks: &Peaks, partials: &Partials, cents: i32) -> f32 {
        let fundamental = partials.fundamental(cents);
        let counted = partials.all[..partials.count].iter().filter(|partial| partial.counted);
        counted.map(|partial| self.partial(peaks, partial, fundamental)).sum::<f32>() - Self::penalty(cents)
    }

    #[inline(always)]
    fn partial(&self, peaks: &Peaks, partial: &Partial, fundamental: f32) -> f32 {
        let hertz = fundamental * partial.ratio;
        let Some(peak) = peaks.nearest(hertz) else { return 0.0 };
        let off = peak.hertz - hertz;
        let relative = hertz * partial.error;
        let (far, variance) = (0.5 * off * off, peak.variance + relative * relative);
        // Most are far from any peak, and a division takes as long as all else.
        if far < Self::END * variance {
            peak.weight * self.curve[(far / variance * Self::PER_UNIT) as usize]
        } else {
            0.0
        }
    }
}

/// A candidate's partials.
struct Partials {
    fundamental: f32,
    count: usize,
    all: [Partial; PARTIALS],
}

#[derive(Clone, Copy)]
struct Partial {
    /// f_n / f0.
    ratio: f32,
    /// Relative error.
    error: f32,
    /// Whether it counts.
    counted: bool,
}

impl Partials {
    fn new(candidate: StiffString, mask: &[bool; PARTIALS]) -> Self {
        let (fundamental, inharmonicity) = (candidate.fundamental as f32, candidate.inharmonicity as f32);
        let partial = |i: usize| {
            let n = (i + 1) as f32;
            let of_stiffness = Scorer::STIFFNESS_ERROR * inharmonicity * n * n / 2.0;
            Partial {
                ratio: (candidate.partial(i + 1) / candidate.fundamental) as f32,
                error: (of_stiffness * of_stiffness + Scorer::PARTIAL_ERROR * Scorer::PARTIAL_ERROR).sqrt(),
                counted: mask[i],
            }
        };
        let count = ((TOP_HERTZ / fundamental) as usize).min(PARTIALS);
        Self { fundamental, count, all: std::array::from_fn(partial) }
    }

    fn fundamental(&self, cents: i32) -> f32 {
        self.fundamental * ((cents as f32 + Scorer::SHARP) / 1200.0).exp2()
    }
}
