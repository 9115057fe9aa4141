//! Places, widths, nulls, level and voicing of pickups from how strong the partials of many notes are.
//!
//! In dB, partial n of a note on string s, plucked at x_p and heard through the responses H_i of a position:
//!
//! level + tilt + R_s(f) - 20 lg n + pluck(k x_p) + 10 lg( |sum_i H_i g_i S_i|^2 + sum_i |H_i g_i|^2 a_i^2 d_i )
//!
//! with S_i, aperture a_i, level and voicing g_i and depth of nulls d_i as in [`crate::string::sensing`]; what a string radiates R_s is a
//! smooth curve, the same in all passes. The pluck's comb and a pickup's are alike, but a pluck moves from note to note and a pickup does
//! not. Level and voicing of pickups come from passes by differences; the reference pickup's are held.

mod datum;
mod layout;
mod prior;
mod profile;
mod solver;
mod uncertainty;

pub(super) use datum::Datum;
pub(super) use layout::{DEPTH, KNOTS, Layout, MIDDLE, SLANT, VOICE, WIDTH};
pub use prior::Known;
pub(super) use profile::best as best_pluck;
pub(super) use uncertainty::Covariance;

use super::robust::{deviation, median};
use crate::document::Guitar;
use prior::constraints;
pub(super) use prior::start;
use solver::{Loss, Problem};

/// What came of a fit.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    pub(super) layout: Layout,
    pub(super) parameters: Vec<f64>,
    pub(super) covariance: Covariance,
    /// Standard deviation of a partial's level without noise, in dB.
    pub(super) scatter_db: f64,
    /// Which pickups are heard in the data, and which of them alone somewhere.
    pub(super) heard: Vec<bool>,
    pub(super) alone: Vec<bool>,
    /// The pickup whose level and voicing were held.
    pub(super) reference: usize,
    /// What the recordings' levels are taken down by, in dB.
    pub(super) offset_db: f64,
}

/// What is to be fitted.
pub(super) struct Task<'a> {
    pub(super) guitar: &'a Guitar,
    pub(super) known: &'a [Known],
    pub(super) layout: Layout,
    pub(super) data: Vec<Datum>,
    /// Pickup whose level and voicing are held.
    pub(super) reference: usize,
}

/// Standard deviation of a note's tilt, in dB per octave; of levels at first; of partials at first, in dB.
pub(super) const TILT_SD: f64 = 0.7;
const LEVEL_SD: f64 = 4.0;
const SCATTER_DB: f64 = 2.0;
/// Partials are brought in from below, so that a place that is off by some millimetres does not slip into the next tooth of the comb:
/// highest frequency of each stage, in hertz.
const STAGES: [f64; 4] = [900.0, 1800.0, 3500.0, 7000.0];

/// Fits.
pub(super) fn fit(task: &Task<'_>) -> Fit {
    let Task { guitar, known, layout, reference, .. } = task;
    let mut parameters = start(guitar, layout);
    let offset = self_level(task, &parameters);
    let data: Vec<Datum> =
        task.data.iter().map(|datum| Datum { level_db: datum.level_db - offset, ..datum.clone() }).collect();
    let (mut scatter_db, mut level_sd) = (SCATTER_DB, LEVEL_SD);
    let mut problem = None;
    for (stage, top) in STAGES.into_iter().enumerate() {
        let data: Vec<&Datum> = data.iter().filter(|datum| datum.hertz <= top).collect();
        let loss = if stage + 1 == STAGES.len() { Loss::Biweight } else { Loss::Huber };
        let rounds = if stage + 1 == STAGES.len() { 4 } else { 2 };
        for round in 0..rounds {
            let constraints = constraints(guitar, known, layout, *reference, level_sd);
            let mut now = Problem { layout: *layout, data: data.clone(), constraints, scatter_db, loss: Loss::Huber };
            if round < 2 {
                let sd = |datum: &Datum| now.sd(datum);
                profile::place_plucks(&data, sd, layout, level_sd, TILT_SD, &mut parameters);
            }
            if round > 0 {
                now.loss = loss;
            }
            now.improve(&mut parameters, 12);
            scatter_db = scatter(&now, &parameters);
            level_sd = levels(layout, &parameters);
            now.scatter_db = scatter_db;
            problem = Some(now);
        }
    }
    let problem = problem.expect("there is a stage");
    let covariance = Covariance::of(&problem, &parameters);
    let heard = (0..layout.pickups).map(|pickup| data.iter().any(|datum| datum.is_heard(pickup))).collect();
    let is_alone = |datum: &Datum, pickup: usize| datum.is_heard(pickup) && datum.sounding().count() == 1;
    let alone = (0..layout.pickups).map(|pickup| data.iter().any(|datum| is_alone(datum, pickup))).collect();
    Fit { layout: *layout, parameters, covariance, scatter_db, heard, alone, reference: *reference, offset_db: offset }
}

/// How loud the recordings are as a whole, in dB.
fn self_level(task: &Task<'_>, parameters: &[f64]) -> f64 {
    let off: Vec<f64> =
        task.data.iter().map(|datum| datum.level_db - datum.predict(&task.layout, parameters)).collect();
    median(&off)
}

/// Scatter of the clear partials, in dB.
fn scatter(problem: &Problem<'_>, parameters: &[f64]) -> f64 {
    const CLEAR_DB: f64 = 0.5;
    let clear = problem.data.iter().filter(|datum| datum.noise_db < CLEAR_DB);
    let residuals: Vec<f64> = clear.map(|datum| datum.level_db - datum.predict(&problem.layout, parameters)).collect();
    if residuals.is_empty() { problem.scatter_db } else { deviation(&residuals).clamp(0.3, 6.0) }
}

/// Spread of the notes' levels, in dB.
fn levels(layout: &Layout, parameters: &[f64]) -> f64 {
    let levels: Vec<f64> = (0..layout.notes).map(|note| parameters[layout.note(note) + layout::LEVEL]).collect();
    deviation(&levels).clamp(1.0, 6.0)
}

impl Fit {
    /// What the model says of a datum of the task, without the level of the recordings as a whole, in dB: of all, and of the pickups alone.
    pub(super) fn predicted_db(&self, datum: &Datum) -> (f64, f64) {
        (datum.predict(&self.layout, &self.parameters), datum.sensed_db(&self.layout, &self.parameters))
    }
}
