//! Damped least squares with weights that far residuals lose (Levenberg and Marquardt; iteratively reweighted).

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::datum::Datum;
use super::layout::{DEPTH, Layout, MIDDLE, PER_PICKUP, PLUCK};
use super::prior::Constraint;
use crate::calibration::robust::{biweight, huber};

/// How far residuals lose their weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Loss {
    /// Slowly: wherever the search starts, it is drawn the right way.
    Huber,
    /// For good.
    Biweight,
}

impl Loss {
    pub(super) fn weight(self, residual: f64) -> f64 {
        match self {
            Self::Huber => huber(residual),
            Self::Biweight => biweight(residual),
        }
    }

    /// What a residual in standard deviations costs.
    pub(super) fn cost(self, residual: f64) -> f64 {
        let r = residual.abs();
        match self {
            Self::Huber if r <= 1.345 => 0.5 * r * r,
            Self::Huber => 1.345 * (r - 0.5 * 1.345),
            Self::Biweight => {
                let c = 4.685;
                let share = 1.0 - (r / c).min(1.0).powi(2);
                c * c / 6.0 * (1.0 - share.powi(3))
            }
        }
    }
}

/// The data that count, how far they scatter, and what is known beforehand.
pub(super) struct Problem<'a> {
    pub(super) layout: Layout,
    pub(super) data: Vec<&'a Datum>,
    pub(super) constraints: Vec<Constraint>,
    /// Standard deviation of a datum without noise, in dB.
    pub(super) scatter_db: f64,
    pub(super) loss: Loss,
}

impl Problem<'_> {
    /// Standard deviation of a datum, in dB.
    pub(super) fn sd(&self, datum: &Datum) -> f64 {
        self.scatter_db.hypot(datum.noise_db)
    }

    /// What parameters cost.
    pub(super) fn cost(&self, parameters: &[f64]) -> f64 {
        let data = self
            .data
            .iter()
            .map(|datum| self.loss.cost((datum.level_db - datum.predict(&self.layout, parameters)) / self.sd(datum)));
        let constraints = self.constraints.iter().map(|constraint| 0.5 * constraint.residual(parameters).powi(2));
        data.sum::<f64>() + constraints.sum::<f64>()
    }

    /// Improves parameters for at most so many rounds.
    pub(super) fn improve(&self, parameters: &mut Vec<f64>, rounds: usize) {
        let mut damping = 1e-3;
        let mut cost = self.cost(parameters);
        for _ in 0..rounds {
            let (normal, right) = self.normal(parameters, |residual| self.loss.weight(residual));
            let mut better = None;
            while damping < 1e6 {
                let mut damped = normal.clone();
                (0..damped.nrows()).for_each(|i| damped[(i, i)] *= 1.0 + damping);
                if let Some(step) = damped.cholesky().map(|cholesky| cholesky.solve(&right)) {
                    let tried: Vec<f64> = parameters.iter().zip(step.iter()).map(|(p, step)| p + step).collect();
                    let tried = self.kept_sensible(tried);
                    let new = self.cost(&tried);
                    if new < cost {
                        better = Some((tried, new));
                        damping *= 0.2;
                        break;
                    }
                }
                damping *= 5.0;
            }
            let Some((tried, new)) = better else { return };
            let done = cost - new < 1e-5 * cost;
            (*parameters, cost) = (tried, new);
            if done {
                return;
            }
        }
    }

    /// Normal equations of a step from parameters: matrix and right side.
    pub(super) fn normal(&self, parameters: &[f64], weight: impl Fn(f64) -> f64) -> (DMatrix<f64>, DVector<f64>) {
        let count = self.layout.count();
        let (mut normal, mut right) = (DMatrix::zeros(count, count), DVector::zeros(count));
        for datum in &self.data {
            let (row, residual) = self.row(datum, parameters);
            add(&mut normal, &mut right, &row, residual, weight(residual));
        }
        for constraint in &self.constraints {
            let row: Vec<(usize, f64)> =
                constraint.terms.iter().map(|&(at, factor)| (at, factor / constraint.sd)).collect();
            add(&mut normal, &mut right, &row, constraint.residual(parameters), 1.0);
        }
        (normal, right)
    }

    /// Derivatives of the model at a datum and the residual, both in standard deviations.
    pub(super) fn row(&self, datum: &Datum, parameters: &[f64]) -> (Vec<(usize, f64)>, f64) {
        const STEP: f64 = 1e-3;
        let sd = self.sd(datum);
        let layout = &self.layout;
        let mut row: Vec<(usize, f64)> = datum.radiating(layout).map(|(at, share)| (at, share / sd)).collect();
        let pluck = layout.note(datum.note) + PLUCK;
        let plucked = datum.plucked_db(parameters[pluck]);
        row.push((pluck, (datum.plucked_db(parameters[pluck] + STEP) - plucked) / STEP / sd));
        let sensed = datum.sensed_db(layout, parameters);
        let mut moved = parameters[..layout.pickups * PER_PICKUP].to_vec();
        for (pickup, _) in datum.sounding() {
            let own = layout.pickup(pickup);
            for at in own..own + PER_PICKUP {
                moved[at] += STEP;
                row.push((at, (datum.sensed_db(layout, &moved) - sensed) / STEP / sd));
                moved[at] = parameters[at];
            }
        }
        let predicted = datum.radiated_db(layout, parameters) + plucked + sensed;
        (row, (datum.level_db - predicted) / sd)
    }

    /// Parameters within what can be.
    fn kept_sensible(&self, mut parameters: Vec<f64>) -> Vec<f64> {
        for pickup in 0..self.layout.pickups {
            let own = self.layout.pickup(pickup);
            parameters[own + MIDDLE] = parameters[own + MIDDLE].clamp(8.0, 400.0);
            parameters[own + DEPTH] = parameters[own + DEPTH].clamp(-40.0, -3.0);
            parameters[own + super::layout::WIDTH] = parameters[own + super::layout::WIDTH].clamp(1.0, 40.0);
        }
        for note in 0..self.layout.notes {
            let pluck = self.layout.note(note) + PLUCK;
            parameters[pluck] = parameters[pluck].clamp(5.0, 400.0);
        }
        parameters
    }
}

impl Constraint {
    /// How far parameters are off it, in standard deviations.
    pub(super) fn residual(&self, parameters: &[f64]) -> f64 {
        let sum: f64 = self.terms.iter().map(|&(at, factor)| factor * parameters[at]).sum();
        (self.target - sum) / self.sd
    }
}

/// Factor of a normal matrix, for inverses.
pub(super) fn factor(normal: DMatrix<f64>) -> Option<Cholesky<f64, Dyn>> {
    normal.cholesky()
}

fn add(normal: &mut DMatrix<f64>, right: &mut DVector<f64>, row: &[(usize, f64)], residual: f64, weight: f64) {
    if weight == 0.0 {
        return;
    }
    for &(i, a) in row {
        right[i] += weight * a * residual;
        for &(j, b) in row {
            normal[(i, j)] += weight * a * b;
        }
    }
}
