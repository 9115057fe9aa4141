//! A survey as a table that a technician reads.

use std::fmt::Write as _;

use dryfit_dsp::find::Effect;
use dryfit_dsp::survey::{Band, DUPLICATE_DB, DUPLICATE_ERROR, Figures, Flag, JUMP_DB, Spread};
use dryfit_dsp::units::{self, Quantity};

use super::Surveyed;
use crate::standing;

/// The whole text.
pub(super) fn write(surveyed: &Surveyed) -> String {
    let mut text = format!("{} on {}\n", surveyed.assembly.title, surveyed.assembly.guitar.title);
    let mut standing = surveyed.standing;
    standing.position = 1;
    let words = standing::controls(&surveyed.assembly, &standing);
    let _ = writeln!(text, "surveyed in {words}; {}\n", standing::load(&standing.load));
    text.push_str(&columns(&HEADS, surveyed.figures.iter().map(|figures| row(surveyed, figures)).collect()));
    text.push('\n');
    text.push_str(&knobs(surveyed));
    text.push_str(&remarks(surveyed));
    text.push_str(&spreads(surveyed));
    text.push_str(LEGEND);
    text
}

const HEADS: [&str; 11] = [
    "position",
    "sound",
    "resonance",
    "height",
    "-3 dB at",
    "level",
    "hum left 50/60 Hz",
    "noise",
    "DC at the jack",
    "output",
    "nearest other",
];

const LEGEND: &str = "\
height: of the resonance above the bass. level: loudness-weighted, against position 1. hum left: against the same pickups with
their hum adding up. noise: thermal, 20 Hz to 20 kHz, with the load. DC: nothing plugged in; pickups 10 %, parts as written.
output: impedance at 1 kHz without the load. nearest other: relative spectral error over all notes to fret 12 at equal loudness.
";

fn row(surveyed: &Surveyed, figures: &Figures) -> Vec<String> {
    let position = figures.controls.position;
    let nearest = surveyed.distances.nearest(position);
    let near = |(other, distance): (u8, dryfit_dsp::survey::Distance)| {
        format!("{other}: {:.0} %, {:.1} dB", 100.0 * distance.relative_error, distance.level_db)
    };
    vec![
        position.to_string(),
        figures.reading.words.clone(),
        figures.resonance.map_or("none".into(), |resonance| hertz(resonance.hertz)),
        figures.resonance.map_or(String::new(), |resonance| format!("{:.1} dB", resonance.height_db)),
        hertz(figures.bandwidth),
        db(figures.level_db),
        format!("{} / {}", db(figures.hum_left_db[0]), db(figures.hum_left_db[1])),
        format!("{:.2} uV", figures.noise * 1e6),
        ohms_band(&figures.dc),
        ohms(figures.output_impedance),
        nearest.map_or("none".into(), near),
    ]
}

fn knobs(surveyed: &Surveyed) -> String {
    let mut text = String::new();
    let labels = surveyed.assembly.controls.knobs.iter().enumerate();
    for (knob, label) in labels.filter_map(|(knob, label)| Some((knob, label.as_ref()?))) {
        let mut places: Vec<(String, Vec<String>)> = Vec::new();
        for figures in &surveyed.figures {
            let does = effect(surveyed, &figures.reading.knobs[knob]);
            let position = figures.controls.position.to_string();
            match places.iter_mut().find(|(known, _)| *known == does) {
                Some((_, positions)) => positions.push(position),
                None => places.push((does, vec![position])),
            }
        }
        let words: Vec<String> =
            places.iter().map(|(does, positions)| format!("{does} in {}", positions.join(" "))).collect();
        let _ = writeln!(text, "{label}: {}", words.join(", "));
    }
    text + "\n"
}

fn effect(surveyed: &Surveyed, effect: &Effect) -> String {
    match effect {
        Effect::Nothing => "nothing".into(),
        Effect::Volume => "volume".into(),
        Effect::Tone => "tone".into(),
        Effect::Blend(pickup) => format!("blends the {} in", surveyed.assembly.guitar.pickups[*pickup].name),
        Effect::Other => "something else".into(),
    }
}

fn remarks(surveyed: &Surveyed) -> String {
    let mut text = String::new();
    for flag in &surveyed.flags {
        let _ = match flag {
            Flag::NearDuplicates { first, second } => writeln!(
                text,
                "note: positions {first} and {second} can hardly be told apart (below {:.0} % and {DUPLICATE_DB:.0} dB)",
                100.0 * DUPLICATE_ERROR
            ),
            Flag::LevelJump { from, step_db } => writeln!(
                text,
                "note: the level jumps by {step_db:+.1} dB from position {from} to {} (more than {JUMP_DB:.0} dB)",
                from + 1
            ),
            Flag::Silent { position } => writeln!(text, "note: nothing sounds in position {position}"),
        };
    }
    if text.is_empty() { text } else { text + "\n" }
}

fn spreads(surveyed: &Surveyed) -> String {
    if surveyed.tolerances.trials == 0 {
        return String::new();
    }
    let heads =
        ["position", "resonance", "height", "-3 dB at", "level", "loudness", "noise", "DC at the jack", "output"];
    let rows = surveyed.figures.iter().zip(&surveyed.spreads);
    let rows = rows.map(|(figures, spread)| spread_row(figures.controls.position, spread)).collect();
    format!(
        "90 % of {} guitars built with parts within their tolerance (seed {}; pickups as written):\n{}\n",
        surveyed.tolerances.trials,
        surveyed.tolerances.seed,
        columns(&heads, rows)
    )
}

fn spread_row(position: u8, spread: &Spread) -> Vec<String> {
    let range = |band: &Band, write: &dyn Fn(f64) -> String| format!("{} to {}", write(band.low), write(band.high));
    let plain_db = |value: f64| format!("{value:.1} dB");
    vec![
        position.to_string(),
        spread.resonance.map_or("none".into(), |band| range(&band, &hertz)),
        spread.height_db.map_or(String::new(), |band| range(&band, &plain_db)),
        range(&spread.bandwidth, &hertz),
        range(&spread.level_db, &db),
        range(&spread.loudness_db, &db),
        range(&spread.noise, &|noise| format!("{:.2} uV", noise * 1e6)),
        range(&spread.dc, &ohms),
        range(&spread.output_impedance, &ohms),
    ]
}

/// Rows under their heads, each column as wide as it must be.
fn columns(heads: &[&str], rows: Vec<Vec<String>>) -> String {
    let width = |column: usize| {
        let cells = rows.iter().map(|row| row[column].chars().count());
        cells.chain([heads[column].chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..heads.len()).map(width).collect();
    let mut text = String::new();
    let heads: Vec<String> = heads.iter().map(|head| head.to_string()).collect();
    for row in std::iter::once(&heads).chain(&rows) {
        let cells: Vec<String> = row.iter().zip(&widths).map(|(cell, &width)| format!("{cell:<width$}")).collect();
        text.push_str(cells.join("  ").trim_end());
        text.push('\n');
    }
    text
}

fn hertz(value: f64) -> String {
    if value >= 1e3 { format!("{:.2} kHz", value / 1e3) } else { format!("{value:.0} Hz") }
}

fn db(value: f64) -> String {
    // A tenth that rounds to nothing has no sign.
    let tenths = (value * 10.0).round() + 0.0;
    if value <= Figures::SILENT_DB { "none".into() } else { format!("{:+.1} dB", tenths / 10.0) }
}

/// Three digits, as a meter's reading is worth.
fn ohms(value: f64) -> String {
    if value.is_finite() {
        units::write(units::significant(value.max(0.0), 3), Quantity::Resistance)
    } else {
        "open".into()
    }
}

fn ohms_band(band: &Band) -> String {
    if band.nominal.is_finite() {
        format!("{} ({} to {})", ohms(band.nominal), ohms(band.low), ohms(band.high))
    } else {
        "open".into()
    }
}
