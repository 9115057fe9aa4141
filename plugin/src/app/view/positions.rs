//! The positions of a bench in numbers.

use dryfit_dsp::circuit::{Controls, Grid, Responses};
use dryfit_dsp::conversion::Target;
use dryfit_dsp::document::Assembly;

use super::measured::level_db;
use super::signed_db;
use crate::compile::OptionTarget;
use crate::compile::names::position_names;
use crate::editor::PositionRow;

/// The positions table of a bench, and which two are nearest.
pub(super) struct Positions {
    pub(super) rows: Vec<PositionRow>,
    pub(super) nearest: String,
}

/// In hertz: where the level of a position is read, between hum and resonance.
const LEVEL_AT: f64 = 300.0;
/// In hertz: where hum is.
const HUM_AT: f64 = 100.0;
/// Positions closer than this are one sound, in dB.
const SAME_DB: f64 = 0.1;
/// In hertz: where the ear tells sounds of a guitar apart.
const HEARD: (f64, f64) = (80.0, 6000.0);

/// Every position, knobs on 10, switches in their first position, an ordinary load.
pub(super) fn positions(assembly: &Assembly, target: &mut OptionTarget) -> Positions {
    let grid = target.grid().clone();
    let at = |position| Controls { position, ..Controls::default() };
    let count = assembly.controls.positions;
    let all: Vec<Responses> = (1..=count).map(|position| target.responses(&at(position)).clone()).collect();
    let heard: Vec<Vec<f64>> = (1..=count).map(|position| gains(target, &at(position))).collect();
    let level = |responses: &Responses| level_db(assembly, responses, point(&grid, LEVEL_AT));
    let names = position_names(assembly);
    let row = |(place, (responses, sound)): (usize, (&Responses, String))| PositionRow {
        position: u8::try_from(place + 1).unwrap_or(u8::MAX),
        sound,
        resonance: resonance(assembly, responses, &grid).map_or_else(String::new, hertz),
        level: all.first().map(|first| signed_db(level(responses) - level(first))).unwrap_or_default(),
        hum: hum(assembly, responses, &grid).into(),
        here: false,
        remark: (0..place)
            .find(|&earlier| distance_db(&grid, &heard[earlier], &heard[place]) < SAME_DB)
            .map(|earlier| format!("same as {}", earlier + 1)),
    };
    let rows = all.iter().zip(names).enumerate().map(row).collect();
    Positions { rows, nearest: nearest(&grid, &heard) }
}

/// What the conversion does to the take in a position, in dB: the places of the pickups are in it.
fn gains(target: &mut OptionTarget, controls: &Controls) -> Vec<f64> {
    let mut gains = vec![0.0; Grid::POINTS];
    target.write(controls, &mut gains);
    gains.iter().map(|gain| gain * 20.0 / std::f64::consts::LN_10).collect()
}

fn nearest(grid: &Grid, heard: &[Vec<f64>]) -> String {
    let pairs = (0..heard.len()).flat_map(|b| (0..b).map(move |a| (a, b)));
    let distances = pairs.map(|(a, b)| (distance_db(grid, &heard[a], &heard[b]), a, b));
    let nearest = distances.min_by(|x, y| x.0.total_cmp(&y.0));
    nearest.map_or_else(String::new, |(db, a, b)| format!("nearest pair: {} and {}, {db:.1} dB apart", a + 1, b + 1))
}

/// Root mean square difference of two curves once their levels are matched, in dB, over what the ear hears.
fn distance_db(grid: &Grid, a: &[f64], b: &[f64]) -> f64 {
    let heard = grid.hertz().iter().zip(a.iter().zip(b)).filter(|(hertz, _)| (HEARD.0..=HEARD.1).contains(*hertz));
    let differences: Vec<f64> = heard.map(|(_, (a, b))| a - b).collect();
    let count = differences.len().max(1) as f64;
    let mean = differences.iter().sum::<f64>() / count;
    (differences.iter().map(|difference| (difference - mean).powi(2)).sum::<f64>() / count).sqrt()
}

/// Where the response peaks above 700 Hz, in hertz, when it stands out by at least 0.3 dB.
fn resonance(assembly: &Assembly, responses: &Responses, grid: &Grid) -> Option<f64> {
    let start = point(grid, 700.0);
    let level = |point: usize| level_db(assembly, responses, point);
    let top = (start..Grid::POINTS).max_by(|&a, &b| level(a).total_cmp(&level(b)))?;
    (level(top) > level(start) + 0.3 && top + 1 < Grid::POINTS).then(|| grid.hertz()[top])
}

/// A uniform hum field gives every coil an EMF by its winding sense alone.
fn hum(assembly: &Assembly, responses: &Responses, grid: &Grid) -> &'static str {
    let point = point(grid, HUM_AT);
    let pickups = assembly.guitar.pickups.iter().enumerate();
    let terms = pickups.map(|(index, pickup)| (responses.at(index, point), pickup.hum_sign()));
    let (sum, all) = terms.fold((num_complex::Complex64::ZERO, 0.0), |(sum, all), (response, sign)| {
        (sum + response * sign, all + response.norm())
    });
    // 20 dB are what matched coils cancel; half is what one of three leaves.
    match sum.norm() / f64::max(all, f64::MIN_POSITIVE) {
        share if share < 0.1 => "cancels",
        share if share < 0.7 => "partly",
        _ => "there",
    }
}

fn hertz(hertz: f64) -> String {
    if hertz < 1000.0 { format!("{hertz:.0} Hz") } else { format!("{:.1} kHz", hertz / 1e3) }
}

/// The point of the grid nearest to a frequency.
fn point(grid: &Grid, hertz: f64) -> usize {
    (grid.place(hertz).round() as usize).min(Grid::POINTS - 1)
}
