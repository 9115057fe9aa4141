//! The tables of a survey, whoever lays them out.

use dryfit_dsp::faults::as_read;
use dryfit_dsp::survey::{Band, Distance, Figures, Spread, Turned};
use serde::Serialize;

use super::numbers::{db, height, hertz, microvolts};
use super::{State, Survey};
use dryfit_dsp::circuit::standing;

/// Cells under their heads.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    /// What it shows; empty where that goes without saying.
    pub caption: String,
    /// A head for each column.
    pub heads: Vec<&'static str>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<Cell>>,
}

/// A figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cell {
    /// With every part at its written value.
    pub value: String,
    /// Where a sound guitar may lie, or what else belongs to the value; may be empty.
    pub band: String,
}

impl Cell {
    /// A value by itself.
    pub fn plain(value: impl Into<String>) -> Self {
        Self { value: value.into(), band: String::new() }
    }

    /// What a meter shows, with its band; `open` has none.
    pub fn measured(band: &Band) -> Self {
        let value = as_read(band.nominal);
        let between = span(&as_read(band.low), &as_read(band.high));
        Self { band: if value == "open" || between == value { String::new() } else { between }, value }
    }
}

/// The tables of a state: its positions, each knob turned down where it does something, and what tolerances do.
pub(super) fn tables(survey: &Survey, state: &State) -> Vec<Table> {
    let all = [positions(survey, state), turned(survey, state), spreads(survey, state)];
    all.into_iter().filter(|table| !table.rows.is_empty()).collect()
}

fn positions(survey: &Survey, state: &State) -> Table {
    let row = |figures: &Figures| {
        let position = figures.controls.position;
        let near = |(other, distance): (u8, Distance)| Cell {
            value: other.to_string(),
            band: format!("{:.0} %, {:.1} dB", 100.0 * distance.relative_error, distance.level_db),
        };
        let nearest = state.distances.nearest(position).map_or_else(|| Cell::plain("none"), near);
        let lead = [Cell::plain(position.to_string()), Cell::plain(figures.reading.words.clone())];
        lead.into_iter().chain(measured(figures)).chain([nearest]).collect()
    };
    let heads = ["position", "sound"].into_iter().chain(MEASURED).chain(["nearest other"]).collect();
    let caption = format!("with {}", survey.standing());
    Table { caption, heads, rows: state.figures.iter().map(row).collect() }
}

fn turned(survey: &Survey, state: &State) -> Table {
    let row = |turned: &Turned| {
        let controls = &turned.figures.controls;
        let label = survey.assembly.controls.knobs[turned.knob].clone().unwrap_or_default();
        let on = standing::pickups_on(&survey.assembly, controls);
        let on = if on.is_empty() { "silent".into() } else { on.join(", ") };
        let lead = [controls.position.to_string(), label, on].map(Cell::plain);
        lead.into_iter().chain(measured(&turned.figures)).collect()
    };
    let heads = ["position", "knob on 0", "pickups heard"].into_iter().chain(MEASURED).collect();
    let caption = "with one knob on 0 where it does something, the rest as above".into();
    Table { caption, heads, rows: state.turned.iter().map(row).collect() }
}

const MEASURED: [&str; 8] =
    ["resonance", "height", "-3 dB at", "level", "hum left 50/60 Hz", "noise", "DC at the jack", "output"];

fn measured(figures: &Figures) -> [Cell; 8] {
    [
        Cell::plain(figures.resonance.map_or("none".into(), |resonance| hertz(resonance.hertz))),
        Cell::plain(figures.resonance.map_or(String::new(), |resonance| height(resonance.height_db))),
        Cell::plain(hertz(figures.bandwidth)),
        Cell::plain(db(figures.level_db)),
        Cell::plain(hum(figures.hum_left_db)),
        Cell::plain(microvolts(figures.noise)),
        Cell::measured(&figures.dc),
        Cell::plain(as_read(figures.output_impedance)),
    ]
}

/// At both mains frequencies, or once where they are alike.
fn hum(left_db: [f64; 2]) -> String {
    let [at_50, at_60] = left_db.map(db);
    if at_50 == at_60 { at_50 } else { format!("{at_50} / {at_60}") }
}

/// From one figure to another, the unit once where it is the same: `5.0 to 6.3 dB`.
fn span(low: &str, high: &str) -> String {
    match (low.split_once(' '), high.split_once(' ')) {
        _ if low == high => low.to_string(),
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

fn spreads(survey: &Survey, state: &State) -> Table {
    let row = |(figures, spread): (&Figures, &Spread)| {
        let range = |band: &Band, write: &dyn Fn(f64) -> String| Cell::plain(span(&write(band.low), &write(band.high)));
        vec![
            Cell::plain(figures.controls.position.to_string()),
            spread.resonance.map_or_else(|| Cell::plain("none"), |band| range(&band, &hertz)),
            spread.height_db.map_or_else(|| Cell::plain(""), |band| range(&band, &height)),
            range(&spread.bandwidth, &hertz),
            range(&spread.level_db, &db),
            range(&spread.loudness_db, &db),
            range(&spread.hum_left_db[0], &db),
            range(&spread.noise, &microvolts),
            range(&spread.dc, &as_read),
            range(&spread.output_impedance, &as_read),
        ]
    };
    let heads = vec![
        "position",
        "resonance",
        "height",
        "-3 dB at",
        "level",
        "loudness",
        "hum left 50 Hz",
        "noise",
        "DC at the jack",
        "output",
    ];
    let caption = format!(
        "90 % of {} guitars built with parts within their tolerance (seed {}; pickups as written)",
        survey.tolerances.trials, survey.tolerances.seed
    );
    Table { caption, heads, rows: state.figures.iter().zip(&state.spreads).map(row).collect() }
}
