//! A survey as JSON: everything in SI, except where a key ends in `_db`; what does not exist is null.

use dryfit_dsp::find::Effect;
use dryfit_dsp::survey::{Band, Figures, Flag, Spread};
use serde_json::{Value, json};

use super::Surveyed;

/// The whole text.
pub(super) fn write(surveyed: &Surveyed) -> String {
    let positions: Vec<Value> =
        surveyed.figures.iter().enumerate().map(|(index, _)| position(surveyed, index)).collect();
    let whole = json!({
        "wiring": surveyed.assembly.title,
        "guitar": surveyed.assembly.guitar.title,
        "load": { "cable": surveyed.standing.load.cable, "input": surveyed.standing.load.input },
        "positions": positions,
        "distances": distances(surveyed),
        "notes": surveyed.flags.iter().map(flag).collect::<Vec<_>>(),
        "trials": surveyed.tolerances.trials,
        "seed": surveyed.tolerances.seed,
    });
    format!("{whole:#}\n")
}

fn position(surveyed: &Surveyed, index: usize) -> Value {
    let figures = &surveyed.figures[index];
    let knobs = surveyed.assembly.controls.knobs.iter().zip(&figures.reading.knobs);
    let knobs = knobs.filter_map(|(label, effect)| Some((label.clone()?, json!(word(surveyed, effect)))));
    json!({
        "position": figures.controls.position,
        "sound": figures.reading.words,
        "knobs": knobs.collect::<serde_json::Map<String, Value>>(),
        "resonance": figures.resonance.map(|resonance| json!({
            "hertz": resonance.hertz, "height_db": resonance.height_db, "width": resonance.width,
        })),
        "bandwidth": figures.bandwidth,
        "level_db": heard(figures.level_db),
        "hum_left_db": { "50": heard(figures.hum_left_db[0]), "60": heard(figures.hum_left_db[1]) },
        "noise": figures.noise,
        "dc": band(&figures.dc),
        "output_impedance": figures.output_impedance,
        "spread": surveyed.spreads.get(index).filter(|_| surveyed.tolerances.trials > 0).map(spread),
    })
}

fn word(surveyed: &Surveyed, effect: &Effect) -> String {
    match effect {
        Effect::Nothing => "nothing".into(),
        Effect::Volume => "volume".into(),
        Effect::Tone => "tone".into(),
        Effect::Blend(pickup) => format!("blend {}", surveyed.assembly.guitar.pickups[*pickup].name),
        Effect::Other => "other".into(),
    }
}

fn spread(spread: &Spread) -> Value {
    json!({
        "resonance": spread.resonance.as_ref().map(band),
        "height_db": spread.height_db.as_ref().map(band),
        "bandwidth": band(&spread.bandwidth),
        "level_db": band(&spread.level_db),
        "loudness_db": band(&spread.loudness_db),
        "hum_left_db": { "50": band(&spread.hum_left_db[0]), "60": band(&spread.hum_left_db[1]) },
        "noise": band(&spread.noise),
        "dc": band(&spread.dc),
        "output_impedance": band(&spread.output_impedance),
    })
}

fn distances(surveyed: &Surveyed) -> Vec<Value> {
    let count = u8::try_from(surveyed.distances.count()).unwrap_or(u8::MAX);
    let pairs = (1..=count).flat_map(|a| (a + 1..=count).map(move |b| (a, b)));
    let value = |(a, b): (u8, u8)| {
        let distance = surveyed.distances.between(a, b)?;
        Some(json!({ "between": [a, b], "relative_error": distance.relative_error, "level_db": distance.level_db }))
    };
    pairs.filter_map(value).collect()
}

fn flag(flag: &Flag) -> Value {
    match flag {
        Flag::NearDuplicates { first, second } => json!({ "near_duplicates": [first, second] }),
        Flag::LevelJump { from, step_db } => json!({ "level_jump": { "from": from, "step_db": step_db } }),
        Flag::Silent { position } => json!({ "silent": position }),
    }
}

/// Null for what an infinite value cannot say.
fn band(band: &Band) -> Value {
    if band.nominal.is_finite() {
        json!({ "low": band.low, "nominal": band.nominal, "high": band.high })
    } else {
        Value::Null
    }
}

fn heard(level_db: f64) -> Option<f64> {
    (level_db > Figures::SILENT_DB).then_some(level_db)
}
