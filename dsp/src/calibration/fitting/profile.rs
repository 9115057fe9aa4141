//! The best place of a pluck for each note, all else held: a comb has many, so it is looked for on a grid.

use super::datum::Datum;
use super::layout::{LEVEL, Layout, PLUCK, TILT};
use crate::calibration::robust::huber;

/// Places that are tried, in millimetres from the bridge.
const NEAREST: f64 = 15.0;
const STEP: f64 = 4.0;
/// No string is plucked beyond this share of its length.
const FARTHEST: f64 = 0.6;

/// What a note costs at best, and level, pluck and tilt there.
#[derive(Debug, Clone, Copy)]
pub(in crate::calibration) struct Best {
    pub(in crate::calibration) cost: f64,
    pub(super) level: f64,
    pub(super) pluck: f64,
    pub(super) tilt: f64,
}

/// For partials of one note and what the rest of the model says of each, in dB. `sd` is each datum's standard deviation, `level` and
/// `tilt` are those of their priors.
pub(in crate::calibration) fn best(data: &[&Datum], rest: &[f64], sd: &[f64], level: f64, tilt: f64) -> Option<Best> {
    let lowest = data.first()?;
    // A partial's wavenumber is n pi over the string's length.
    let length = lowest.n * std::f64::consts::PI / lowest.wavenumber;
    let count = ((FARTHEST * length - NEAREST) / STEP) as usize;
    let places = (0..count).map(|at| NEAREST + STEP * at as f64);
    let tried = places.map(|pluck| at(data, rest, sd, level, tilt, pluck));
    tried.min_by(|a, b| a.cost.total_cmp(&b.cost))
}

/// The best level and tilt for a pluck there.
fn at(data: &[&Datum], rest: &[f64], sd: &[f64], level_sd: f64, tilt_sd: f64, pluck: f64) -> Best {
    let left: Vec<f64> =
        data.iter().zip(rest).map(|(datum, rest)| datum.level_db - rest - datum.plucked_db(pluck)).collect();
    let (mut level, mut tilt) = (crate::calibration::robust::median(&left), 0.0);
    for _ in 0..3 {
        let (mut s, mut sx, mut sxx) = (level_sd.powi(-2), 0.0, tilt_sd.powi(-2));
        let (mut sy, mut sxy) = (0.0, 0.0);
        for ((datum, left), sd) in data.iter().zip(&left).zip(sd) {
            let x = datum.octaves();
            let weight = huber((left - level - tilt * x) / sd) / (sd * sd);
            s += weight;
            sx += weight * x;
            sxx += weight * x * x;
            sy += weight * left;
            sxy += weight * x * left;
        }
        let determinant = s * sxx - sx * sx;
        level = (sxx * sy - sx * sxy) / determinant;
        tilt = (s * sxy - sx * sy) / determinant;
    }
    let residuals = data
        .iter()
        .zip(&left)
        .zip(sd)
        .map(|((datum, left), sd)| super::solver::Loss::Huber.cost((left - level - tilt * datum.octaves()) / sd));
    let cost = residuals.sum::<f64>() + 0.5 * (level / level_sd).powi(2) + 0.5 * (tilt / tilt_sd).powi(2);
    Best { cost, level, pluck, tilt }
}

/// Sets every note's parameters to the best, all else held.
pub(super) fn place_plucks(
    data: &[&Datum],
    sd: impl Fn(&Datum) -> f64,
    layout: &Layout,
    level: f64,
    tilt: f64,
    parameters: &mut [f64],
) {
    for note in 0..layout.notes {
        let own: Vec<&Datum> = data.iter().copied().filter(|datum| datum.note == note).collect();
        let first = layout.note(note);
        parameters[first + LEVEL] = 0.0;
        parameters[first + TILT] = 0.0;
        let rest: Vec<f64> = own
            .iter()
            .map(|datum| datum.radiated_db(layout, parameters) + datum.sensed_db(layout, parameters))
            .collect();
        let sd: Vec<f64> = own.iter().map(|datum| sd(datum)).collect();
        if let Some(best) = best(&own, &rest, &sd, level, tilt) {
            parameters[first + LEVEL] = best.level;
            parameters[first + PLUCK] = best.pluck;
            parameters[first + TILT] = best.tilt;
        }
    }
}
