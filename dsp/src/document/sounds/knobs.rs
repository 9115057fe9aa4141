//! What knobs do, as it is written: `volume`, `tone in 4 5`, `blend neck in 1`.

use super::words::Words;
use super::{KnobAction, KnobWish};
use crate::document::problem::{ProblemKind, shortened};
use crate::document::section::{Section, Value};

/// Reads what each knob does in a table of so many positions.
pub(super) fn read_knobs<'r, 't>(
    top: &Section<'r, 't>,
    entries: Vec<(String, &'r Value<'t>)>,
    positions: usize,
) -> Vec<KnobWish> {
    let mut wishes = Vec::new();
    for (label, value) in entries {
        let line = top.line_of(value);
        top.check_label("a knob's label", &label, line);
        let Some(text) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&label, value, "what it does, such as \"blend neck in 1 2\"");
            continue;
        };
        match parse(text, positions) {
            Ok((action, positions)) => wishes.push(KnobWish { label, action, positions, line }),
            Err((column, what, mend)) => {
                let what = format!("at character {column} of \"{}\": {what}", shortened(text));
                top.error(ProblemKind::BadSound, line, what, mend);
            }
        }
    }
    wishes
}

const KNOB_MEND: &str =
    "write `volume`, `tone`, `blend PICKUP` or `nothing`, perhaps with positions behind it: `in 1 2`";
const PLACE_MEND: &str = "name positions of the table, such as `in 1 2`";

type Refusal = (usize, String, &'static str);

/// What it acts as, and in which positions; or the column and what is wrong there, with what would mend it.
fn parse(text: &str, positions: usize) -> Result<(KnobAction, Vec<u8>), Refusal> {
    let mut words = Words::of(text);
    let action = action(&mut words).map_err(|(column, what)| (column, what, KNOB_MEND))?;
    let count = u8::try_from(positions).unwrap_or(u8::MAX);
    if words.column() == words.end() {
        return Ok((action, (1..=count).collect()));
    }
    if !words.take("in") {
        let (column, word) = words.next().unwrap_or_default();
        return Err((column, format!("`{}` is not expected here", shortened(&word)), KNOB_MEND));
    }
    let mut numbers = Vec::new();
    loop {
        let (column, word) = words.next().ok_or((words.end(), "a position is missing".into(), PLACE_MEND))?;
        let number = (1..=count).find(|number| number.to_string() == word);
        let unknown = || (column, format!("there is no position `{}`", shortened(&word)), PLACE_MEND);
        numbers.push(number.ok_or_else(unknown)?);
        if !words.take(",") && words.column() == words.end() {
            break;
        }
    }
    numbers.sort_unstable();
    numbers.dedup();
    Ok((action, numbers))
}

fn action(words: &mut Words) -> Result<KnobAction, (usize, String)> {
    let Some((column, word)) = words.next() else { return Err((words.end(), "nothing is written here".into())) };
    match word.as_str() {
        "volume" => Ok(KnobAction::Volume),
        "tone" => Ok(KnobAction::Tone),
        "nothing" => Ok(KnobAction::Nothing),
        "blend" => match words.next() {
            Some((column, word)) if word == "in" => Err((column, "a pickup is missing before `in`".into())),
            Some((_, pickup)) => Ok(KnobAction::Blend { pickup }),
            None => Err((words.end(), "a pickup is missing".into())),
        },
        _ => Err((column, format!("`{}` is nothing a knob does", shortened(&word)))),
    }
}
