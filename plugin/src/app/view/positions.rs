//! The positions of a bench in numbers, from its survey.

use dryfit_dsp::survey::{Distances, Figures, Flag};

use super::signed_db;
use crate::compile::SurveyedBench;
use crate::editor::PositionRow;

/// Hum so far down, in dB, is gone beside a playing guitar; what is left is what coils of unequal turns leave. Common practice, no
/// source.
const CANCELS_DB: f64 = -12.0;
/// Hum nearer to all of it than this, in dB, is all of it to an ear.
const THERE_DB: f64 = -1.0;

/// A row for every position.
pub(super) fn rows(bench: &SurveyedBench) -> Vec<PositionRow> {
    bench.figures.iter().map(|figures| row(figures, &bench.flags)).collect()
}

/// Which two positions are nearest to each other.
pub(super) fn nearest(distances: &Distances) -> String {
    let positions = 1..=u8::try_from(distances.count()).unwrap_or(u8::MAX);
    let pairs = positions.flat_map(|b| (1..b).map(move |a| (a, b)));
    let known = pairs.filter_map(|(a, b)| Some((a, b, distances.between(a, b)?)));
    let nearest = known.min_by(|(_, _, x), (_, _, y)| x.relative_error.total_cmp(&y.relative_error));
    nearest.map_or_else(String::new, |(a, b, distance)| {
        format!("nearest pair: {a} and {b}, {:.0} % of the spectrum apart", 100.0 * distance.relative_error)
    })
}

fn row(figures: &Figures, flags: &[Flag]) -> PositionRow {
    let position = figures.controls.position;
    let silent = figures.level_db <= Figures::SILENT_DB;
    let or_none = |text: String| if silent { String::new() } else { text };
    PositionRow {
        position,
        sound: figures.reading.words.clone(),
        resonance: figures.resonance.as_ref().map_or_else(String::new, |resonance| hertz(resonance.hertz)),
        level: or_none(signed_db(figures.level_db)),
        hum: or_none(hum(figures).into()),
        details: or_none(details(figures)),
        here: false,
        remark: flags.iter().find_map(|flag| remark(flag, position)),
    }
}

fn remark(flag: &Flag, position: u8) -> Option<String> {
    match *flag {
        Flag::NearDuplicates { first, second } if second == position => Some(format!("hardly told apart from {first}")),
        Flag::LevelJump { from, step_db } if from + 1 == position => {
            let word = if step_db > 0.0 { "louder" } else { "softer" };
            Some(format!("{:.1} dB {word} than {from}", step_db.abs()))
        }
        _ => None,
    }
}

fn hum_left(figures: &Figures) -> f64 {
    figures.hum_left_db[0].max(figures.hum_left_db[1])
}

fn hum(figures: &Figures) -> &'static str {
    match hum_left(figures) {
        left if left < CANCELS_DB => "cancels",
        left if left < THERE_DB => "partly",
        _ => "there",
    }
}

fn details(figures: &Figures) -> String {
    let peak = match &figures.resonance {
        Some(resonance) => {
            format!("Resonance {}, {:.1} dB over the bass. ", hertz(resonance.hertz), resonance.height_db)
        }
        None => "No resonance. ".into(),
    };
    format!(
        "{peak}3 dB down at {}. Level {} against position 1, averaged over strings and frets. Hum: {:.0} dB against the same \
         pickups with all hum adding up. A meter at the jack reads {:.2}k. A click moves the selector here.",
        hertz(figures.bandwidth),
        signed_db(figures.level_db),
        hum_left(figures),
        figures.dc.nominal / 1e3,
    )
}

fn hertz(hertz: f64) -> String {
    if hertz < 1000.0 { format!("{hertz:.0} Hz") } else { format!("{:.1} kHz", hertz / 1e3) }
}
