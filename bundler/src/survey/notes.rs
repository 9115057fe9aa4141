//! What stands beside the tables of a survey.

use dryfit_dsp::find::Effect;
use dryfit_dsp::survey::{DUPLICATE_DB, DUPLICATE_ERROR, DUPLICATE_SOURCE, Flag, JUMP_DB, JUMP_SOURCE};

use super::{State, Survey};

/// What the heads of the tables mean.
const HEADS: [(&str, &str); 9] = [
    ("resonance, height", "of the highest peak, above the bass"),
    ("-3 dB at", "where the response has fallen 3 dB below the bass for good"),
    ("level", "loudness-weighted, averaged over strings and frets, against position 1 as it stood"),
    ("hum left", "against the same pickups with their hum adding up"),
    ("noise", "thermal, 20 Hz to 20 kHz, with the load"),
    ("DC at the jack", "nothing plugged in; the band is the worst case, pickups within 10 %, parts as listed"),
    ("output", "impedance at 1 kHz without the load"),
    (
        "nearest other",
        "the position most like it: relative spectral error over all notes to fret 12, and partials in dB, equally loud",
    ),
    ("loudness", "against the same position with every part at its written value"),
];

/// What the heads of the tables mean, and from where on something deserves a look.
pub fn legend() -> Vec<[String; 2]> {
    let heads = HEADS.iter().map(|(head, meaning)| [head.to_string(), meaning.to_string()]);
    let looks = [
        [
            "hardly told apart".into(),
            format!("below {:.0} % and {DUPLICATE_DB:.0} dB; {DUPLICATE_SOURCE}", 100.0 * DUPLICATE_ERROR),
        ],
        ["a jump".into(), format!("more than {JUMP_DB:.0} dB from a position to the next; {JUMP_SOURCE}")],
    ];
    heads.chain(looks).collect()
}

/// What each knob does, in words: label, and what it does in which positions.
pub fn knobs(survey: &Survey, state: &State) -> Vec<[String; 2]> {
    let labels = survey.assembly.controls.knobs.iter().enumerate();
    let labels = labels.filter_map(|(knob, label)| Some((knob, label.as_ref()?)));
    labels.map(|(knob, label)| [label.clone(), knob_does(survey, state, knob)]).collect()
}

fn knob_does(survey: &Survey, state: &State, knob: usize) -> String {
    let mut places: Vec<(String, Vec<String>)> = Vec::new();
    for figures in &state.figures {
        let does = effect(survey, &figures.reading.knobs[knob]);
        let position = figures.controls.position.to_string();
        match places.iter_mut().find(|(known, _)| *known == does) {
            Some((_, positions)) => positions.push(position),
            None => places.push((does, vec![position])),
        }
    }
    let everywhere = places.len() == 1;
    let words = |(does, positions): (String, Vec<String>)| {
        if everywhere { does } else { format!("{does} in {}", positions.join(" ")) }
    };
    places.into_iter().map(words).collect::<Vec<_>>().join(", ")
}

fn effect(survey: &Survey, effect: &Effect) -> String {
    match effect {
        Effect::Nothing => "nothing".into(),
        Effect::Volume => "volume".into(),
        Effect::Tone => "tone".into(),
        Effect::Blend(pickup) => format!("blends the {} in", survey.assembly.guitar.pickups[*pickup].name),
        Effect::Other => "something else".into(),
    }
}

/// What deserves a look, each with its threshold and where that is from.
pub fn notes(state: &State) -> Vec<String> {
    state.flags.iter().map(note).collect()
}

fn note(flag: &Flag) -> String {
    match flag {
        Flag::NearDuplicates { first, second } => format!(
            "positions {first} and {second} can hardly be told apart (below {:.0} % and {DUPLICATE_DB:.0} dB; {DUPLICATE_SOURCE})",
            100.0 * DUPLICATE_ERROR
        ),
        Flag::LevelJump { from, step_db } => format!(
            "the level jumps by {step_db:+.1} dB from position {from} to {} (more than {JUMP_DB:.0} dB; {JUMP_SOURCE})",
            from + 1
        ),
        Flag::Silent { position } => format!("nothing sounds in position {position}"),
    }
}
