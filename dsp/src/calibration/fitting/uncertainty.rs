//! How well a fit determines what it finds.

use nalgebra::{DMatrix, DVector};

use super::datum::Datum;
use super::solver::{Problem, factor};

/// What errors are wider than both estimates say, since the model is none of the truth: measured on synthesised sessions
/// (`calibration-table`, seeds 2000 to 2011) where outputs, voicings and depths were off by 1.3 to 1.6 stated deviations (rms).
const INFLATION: f64 = 1.4;

/// Covariance of fitted parameters.
#[derive(Debug, Clone)]
pub(in crate::calibration) struct Covariance {
    /// If partials scatter independently of each other.
    independent: DMatrix<f64>,
    /// If what notes have in common is off, too.
    by_note: DMatrix<f64>,
}

/// Derivatives by parameter.
type Row = Vec<(usize, f64)>;

impl Covariance {
    /// At the parameters of a solved problem.
    ///
    /// Two estimates, of which the larger counts: the inverse of the normal matrix, corrected for the share of weight that far residuals lost
    /// (Huber 1981, Robust Statistics, section 7.6), and the sandwich with whole notes for its filling (Liang and Zeger 1986), since
    /// the partials of a note have their errors in common.
    pub(super) fn of(problem: &Problem<'_>, parameters: &[f64]) -> Self {
        let count = problem.layout.count();
        let none = || Self { independent: DMatrix::zeros(count, count), by_note: DMatrix::zeros(count, count) };
        let rows: Vec<(&Datum, Row, f64)> = problem
            .data
            .iter()
            .map(|datum| {
                let (row, residual) = problem.row(datum, parameters);
                (*datum, row, residual)
            })
            .collect();
        let slope = |residual: f64| {
            // Derivative of weight times residual.
            let step = 1e-4;
            let psi = |r: f64| r * problem.loss.weight(r);
            (psi(residual + step) - psi(residual - step)) / (2.0 * step)
        };
        let mean = |of: &dyn Fn(f64) -> f64| {
            rows.iter().map(|(_, _, residual)| of(*residual)).sum::<f64>() / rows.len().max(1) as f64
        };
        let curvature = mean(&slope).max(0.2);
        let power = mean(&|residual| (residual * problem.loss.weight(residual)).powi(2));
        let (normal, _) = problem.normal(parameters, |_| curvature);
        let Some(inverse) = factor(normal).map(|cholesky| cholesky.inverse()) else { return none() };
        let inflation = (power / curvature).max(1.0);
        let mut filling = DMatrix::<f64>::zeros(count, count);
        for note in 0..problem.layout.notes {
            let mut score = DVector::<f64>::zeros(count);
            for (_, row, residual) in rows.iter().filter(|(datum, _, _)| datum.note == note) {
                let pull = residual * problem.loss.weight(*residual);
                row.iter().for_each(|&(at, derivative)| score[at] += derivative * pull);
            }
            // Only what is common to notes; a note's own parameters take its score to nothing.
            let places: Vec<usize> = (0..count).filter(|&at| score[at] != 0.0).collect();
            for &i in &places {
                places.iter().for_each(|&j| filling[(i, j)] += score[i] * score[j]);
            }
        }
        for constraint in &problem.constraints {
            for &(i, a) in &constraint.terms {
                constraint.terms.iter().for_each(|&(j, b)| filling[(i, j)] += a * b / constraint.sd.powi(2));
            }
        }
        let by_note = &inverse * filling * &inverse;
        Self { independent: inverse * inflation, by_note }
    }

    /// Standard deviation of a weighted sum of parameters.
    pub(in crate::calibration) fn sd(&self, terms: &[(usize, f64)]) -> f64 {
        let of = |matrix: &DMatrix<f64>| -> f64 {
            let pairs = terms.iter().flat_map(|&(i, a)| terms.iter().map(move |&(j, b)| a * b * matrix[(i, j)]));
            pairs.sum::<f64>().max(0.0).sqrt()
        };
        INFLATION * of(&self.independent).max(of(&self.by_note))
    }
}
