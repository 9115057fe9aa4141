//! The partials of one note: f_n = n f0 sqrt(1 + B n^2).

use super::spectrum::Spectrum;
use crate::calibration::robust::{biweight, deviation};
use crate::string::StiffString;

/// A note's partials as a stiff string has them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Series {
    /// f0, in hertz.
    pub(super) fundamental: f64,
    /// B.
    pub(super) inharmonicity: f64,
    /// Standard deviation of B.
    pub(super) inharmonicity_sd: f64,
    /// Partials that lie on it.
    pub(super) count: usize,
}

/// Highest partial and frequency (in hertz) that are looked at.
const MOST: usize = 40;
const TOP_HERTZ: f64 = 7000.0;
/// Nothing is looked at this far below the strongest partial.
const LEAST: f64 = 1e-3;

/// How far all partials of a note may be pulled off their series together, as a share of their frequency: distortion of stronger partials falls
/// beside the stretched ones, and a glide is not as even as it is taken to be. B is known no better than this share over half the square of the
/// highest partial's number.
const PULLED: f64 = 1.5e-4;

impl Series {
    /// Frequency of partial `n`, in hertz.
    pub(super) fn partial(&self, n: usize) -> f64 {
        // A length has no part in it.
        StiffString { fundamental: self.fundamental, inharmonicity: self.inharmonicity, length: 1.0 }.partial(n)
    }

    /// Fitted to a spectrum from a first pitch (in hertz) on, partial after partial, each looked for where those below it say; none
    /// where fewer than three lie on it.
    ///
    /// (f_n / n)^2 = f0^2 + f0^2 B n^2 is a straight line over n^2. Far points lose their weight (Tukey's biweight).
    pub(super) fn fit(spectrum: &Spectrum, pitch: f64) -> Option<Self> {
        let loudest = spectrum.tones_above(0.0, TOP_HERTZ).iter().fold(0.0f64, |max, tone| max.max(tone.amplitude));
        let mut series = Self { fundamental: pitch, inharmonicity: 0.0, inharmonicity_sd: 1.0, count: 0 };
        let mut points: Vec<Point> = Vec::new();
        for n in 1..=MOST {
            let expected = series.partial(n);
            if expected > TOP_HERTZ {
                break;
            }
            // At first only the pitch is known, later the line.
            let reach =
                if points.len() < 3 { 0.03 * expected } else { (0.004 * expected).max(3.0 * spectrum.spacing()) };
            let found = spectrum.tone_near(expected, reach.min(0.3 * pitch));
            let Some(tone) = found.filter(|tone| tone.amplitude > LEAST * loudest) else { continue };
            points.push(Point { n: n as f64, hertz: tone.hertz, weight: (tone.amplitude / loudest).sqrt() });
            if points.len() >= 3 {
                series = line(&points, spectrum.spacing())?;
            }
        }
        (points.len() >= 3 && series.count >= 3).then_some(series)
    }

    /// The same stiffness at another pitch: where the strong partials of this spectrum lie, as the mean of their logarithms.
    pub(super) fn retuned(&self, spectrum: &Spectrum) -> Option<Self> {
        let (mut sum, mut weights) = (0.0, 0.0);
        for n in 1..=8 {
            let expected = self.partial(n);
            let Some(tone) = spectrum.tone_near(expected, (0.006 * expected).max(2.0 * spectrum.spacing())) else {
                continue;
            };
            // The error of a logarithm falls with the partial's number.
            let weight = tone.amplitude * (n * n) as f64;
            sum += weight * (tone.hertz / expected).ln();
            weights += weight;
        }
        (weights > 0.0).then(|| Self { fundamental: self.fundamental * (sum / weights).exp(), ..*self })
    }
}

struct Point {
    n: f64,
    hertz: f64,
    weight: f64,
}

/// The line through points, by weighted least squares, reweighted.
fn line(points: &[Point], spacing: f64) -> Option<Series> {
    let coordinates: Vec<(f64, f64, f64)> = points
        .iter()
        .map(|point| {
            let y = (point.hertz / point.n).powi(2);
            // A frequency is known to a share of the spacing, whichever partial it is of.
            let sd = 2.0 * y * (0.05 * spacing / point.hertz).max(3e-5);
            (point.n * point.n, y, point.weight / (sd * sd))
        })
        .collect();
    let mut robust = vec![1.0; points.len()];
    let mut fitted = None;
    for _ in 0..6 {
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            coordinates.iter().zip(&robust).map(|(&(x, y, w), robust)| w * robust * of(x, y)).sum()
        };
        let (s, sx, sy) = (sum(&|_, _| 1.0), sum(&|x, _| x), sum(&|_, y| y));
        let (sxx, sxy) = (sum(&|x, _| x * x), sum(&|x, y| x * y));
        let determinant = s * sxx - sx * sx;
        if determinant <= 1e-9 * s * sxx {
            return None;
        }
        let (intercept, slope) = ((sxx * sy - sx * sxy) / determinant, (s * sxy - sx * sy) / determinant);
        if intercept <= 0.0 {
            return None;
        }
        let residuals: Vec<f64> = coordinates.iter().map(|&(x, y, w)| (y - intercept - slope * x) * w.sqrt()).collect();
        let scale = deviation(&residuals).max(1e-9);
        for (robust, residual) in robust.iter_mut().zip(&residuals) {
            *robust = biweight(residual / scale).max(1e-6);
        }
        let count = robust.iter().filter(|&&robust| robust > 0.1).count();
        let highest = coordinates.iter().zip(&robust).filter(|(_, robust)| **robust > 0.1).map(|((x, _, _), _)| *x);
        let pulled = 2.0 * PULLED / highest.fold(1.0, f64::max);
        let sd = (scale * (s / determinant).sqrt() / intercept).hypot(pulled);
        let inharmonicity = (slope / intercept).max(0.0);
        fitted = Some(Series { fundamental: intercept.sqrt(), inharmonicity, inharmonicity_sd: sd, count });
    }
    fitted
}
