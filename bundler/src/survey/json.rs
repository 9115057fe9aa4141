//! A survey as JSON: everything in SI, except where a key ends in `_db`; what does not exist is null.

use dryfit_dsp::document::Assembly;
use dryfit_dsp::find::Effect;
use dryfit_dsp::survey::{Band, Figures, Flag, Spread, Turned};
use serde_json::{Map, Value, json};

use super::{State, Survey};
use dryfit_dsp::circuit::standing;

/// The whole text.
pub fn json(survey: &Survey) -> String {
    let load = survey.states.first().map(|state| state.controls.load).unwrap_or_default();
    let whole = json!({
        "wiring": survey.assembly.title,
        "guitar": survey.assembly.guitar.title,
        "load": { "cable": load.cable, "input": load.input },
        "states": survey.states.iter().map(|state| of_state(survey, state)).collect::<Vec<_>>(),
        "trials": survey.tolerances.trials,
        "seed": survey.tolerances.seed,
    });
    format!("{whole:#}\n")
}

fn of_state(survey: &Survey, state: &State) -> Value {
    let positions = state.figures.iter().enumerate();
    let positions = positions.map(|(index, figures)| position(&survey.assembly, figures, state.spreads.get(index)));
    json!({
        "switches": switches(&survey.assembly, state),
        "positions": positions.collect::<Vec<_>>(),
        "knobs_on_0": state.turned.iter().map(|turned| of_turned(&survey.assembly, turned)).collect::<Vec<_>>(),
        "distances": distances(state),
        "notes": state.flags.iter().map(flag).collect::<Vec<_>>(),
    })
}

fn switches(assembly: &Assembly, state: &State) -> Map<String, Value> {
    let labels = assembly.controls.switches.iter().enumerate();
    let standing = labels.map(|(index, (label, _))| {
        (label.clone(), json!(standing::position_name(assembly, index, state.controls.switches[index])))
    });
    standing.collect()
}

fn position(assembly: &Assembly, figures: &Figures, spread: Option<&Spread>) -> Value {
    let knobs = assembly.controls.knobs.iter().zip(&figures.reading.knobs);
    let knobs = knobs.filter_map(|(label, effect)| Some((label.clone()?, json!(word(assembly, effect)))));
    let mut value = measured(figures);
    value["sound"] = json!(figures.reading.words);
    value["knobs"] = Value::Object(knobs.collect());
    value["spread"] = spread.map_or(Value::Null, of_spread);
    value
}

fn of_turned(assembly: &Assembly, turned: &Turned) -> Value {
    let mut value = measured(&turned.figures);
    value["knob"] = json!(assembly.controls.knobs[turned.knob]);
    value["pickups"] = json!(standing::pickups_on(assembly, &turned.figures.controls));
    value
}

fn measured(figures: &Figures) -> Value {
    json!({
        "position": figures.controls.position,
        "resonance": figures.resonance.map(|resonance| json!({
            "hertz": resonance.hertz, "height_db": resonance.height_db, "width": resonance.width,
        })),
        "bandwidth": figures.bandwidth,
        "level_db": heard(figures.level_db),
        "hum_left_db": { "50": heard(figures.hum_left_db[0]), "60": heard(figures.hum_left_db[1]) },
        "noise": figures.noise,
        "dc": band(&figures.dc),
        "output_impedance": figures.output_impedance,
    })
}

fn word(assembly: &Assembly, effect: &Effect) -> String {
    match effect {
        Effect::Nothing => "nothing".into(),
        Effect::Volume => "volume".into(),
        Effect::Tone => "tone".into(),
        Effect::Blend(pickup) => format!("blend {}", assembly.guitar.pickups[*pickup].name),
        Effect::Other => "other".into(),
    }
}

fn of_spread(spread: &Spread) -> Value {
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

fn distances(state: &State) -> Vec<Value> {
    let count = u8::try_from(state.distances.count()).unwrap_or(u8::MAX);
    let pairs = (1..=count).flat_map(|a| (a + 1..=count).map(move |b| (a, b)));
    let value = |(a, b): (u8, u8)| {
        let distance = state.distances.between(a, b)?;
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
