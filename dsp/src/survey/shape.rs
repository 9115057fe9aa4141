//! The shape of a response: its resonance and how far up it reaches.

use crate::circuit::{Grid, Responses};

/// A peak of a response.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resonance {
    /// Where it is, in hertz.
    pub hertz: f64,
    /// How far it stands above the bass, in dB.
    pub height_db: f64,
    /// Width between the points 3 dB below its top, in hertz; none where it stands less than 3 dB above the bass.
    pub width: Option<f64>,
}

/// Below this a response is called bass, in hertz: no pickup resonates there, no tone acts there.
const BASS: f64 = 120.0;
/// A peak must stand this far above the bass to be one, in dB; less is the grid's own rounding.
const LEAST_DB: f64 = 0.05;
/// Half power, in dB.
const HALF: f64 = 3.010_299_956_639_812;

/// Level of the responses of all pickups together over the grid, in dB: the root of the sum of squares, so that the shape is
/// the circuit's and does not depend on what adds up and what cancels at the strings.
pub(super) fn level_db(responses: &Responses) -> Vec<f64> {
    let power = |point: usize| (0..responses.pickups()).map(|i| responses.at(i, point).norm_sqr()).sum::<f64>();
    (0..Grid::POINTS).map(|point| 10.0 * power(point).max(f64::MIN_POSITIVE).log10()).collect()
}

/// The highest peak above the bass, if there is one.
pub(super) fn resonance(level_db: &[f64], grid: &Grid) -> Option<Resonance> {
    let bass = bass_point(grid);
    let inner = bass + 1..level_db.len() - 1;
    let top = inner.filter(|&i| level_db[i] > level_db[i - 1] && level_db[i] >= level_db[i + 1]);
    let top = top.max_by(|&i, &j| level_db[i].total_cmp(&level_db[j]))?;
    // The vertex of the parabola through three points; the grid is even in its own scale.
    let (left, middle, right) = (level_db[top - 1], level_db[top], level_db[top + 1]);
    let bend = left - 2.0 * middle + right;
    let shift = if bend < 0.0 { 0.5 * (left - right) / bend } else { 0.0 };
    let peak_db = middle - 0.25 * (left - right) * shift;
    let height_db = peak_db - level_db[bass];
    let lower = (bass..top).rev().find(|&i| level_db[i] < peak_db - HALF);
    let upper = (top + 1..level_db.len()).find(|&i| level_db[i] < peak_db - HALF);
    let width = lower.zip(upper).map(|(lower, upper)| {
        crossing(level_db, grid, upper - 1, peak_db - HALF) - crossing(level_db, grid, lower, peak_db - HALF)
    });
    (height_db > LEAST_DB).then(|| Resonance { hertz: hertz(grid, top as f64 + shift), height_db, width })
}

/// How far up the response reaches before it has fallen 3 dB below the bass for good, in hertz; the grid's top when it never does.
pub(super) fn bandwidth(level_db: &[f64], grid: &Grid) -> f64 {
    let edge = level_db[bass_point(grid)] - HALF;
    match level_db.iter().rposition(|&db| db >= edge) {
        Some(last) if last + 1 < level_db.len() => crossing(level_db, grid, last, edge),
        _ => grid.top(),
    }
}

fn bass_point(grid: &Grid) -> usize {
    grid.place(BASS).round() as usize
}

/// Where the level passes `edge` between a point and its right neighbour, in hertz.
fn crossing(level_db: &[f64], grid: &Grid, point: usize, edge: f64) -> f64 {
    let (left, right) = (level_db[point], level_db[point + 1]);
    hertz(grid, point as f64 + ((edge - left) / (right - left)).clamp(0.0, 1.0))
}

/// The frequency at a fraction of a point of the grid: the inverse of [`Grid::place`].
fn hertz(grid: &Grid, place: f64) -> f64 {
    let below = (place.floor().max(0.0) as usize).min(Grid::POINTS - 2);
    let (low, high) = (grid.hertz()[below], grid.hertz()[below + 1]);
    let share = place - below as f64;
    // Between neighbours the scale is so nearly even that the geometric mean serves at the top and the arithmetic one below.
    if low > 1.0 { low * (high / low).powf(share) } else { low + share * (high - low) }
}
