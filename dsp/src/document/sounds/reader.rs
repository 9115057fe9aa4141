//! A sounds table as it is written.

use super::sound::Sound;
use super::{KnobAction, KnobWish, Setting, Sounds};
use crate::document::limits;
use crate::document::problem::{ProblemKind, shortened};
use crate::document::section::{Section, Value};

/// Reads the whole table.
pub(super) fn read(top: &Section<'_, '_>) -> Option<Sounds> {
    let title = top.text("title");
    let about = top.optional_text("about");
    let (positions, lines) = read_positions(top);
    let count = top.entries("positions", limits::POSITIONS).len();
    let knobs = read_knobs(top, top.entries("knobs", limits::NAME), count);
    let mut settings = Vec::new();
    for (label, value) in top.entries("switches", limits::SETTINGS) {
        read_switch(top, &label, value, &Context { above: &[], positions: count }, &mut settings);
    }
    // Where a sound could not be read, numbers and sounds do not go together.
    if positions.len() == count {
        check_against_themselves(top, &positions, &knobs);
    }
    Some(Sounds {
        file: top.file().to_string(),
        title: title?.value,
        about: about.map(|about| about.value).unwrap_or_default(),
        positions,
        knobs,
        settings,
        lines,
    })
}

/// How a sound is written, where it is not.
const SOUND_MEND: &str =
    "write pickups joined by `+` (in parallel) or `in series with`, each perhaps `reversed`; or `silent`";

fn read_positions(top: &Section<'_, '_>) -> (Vec<Sound>, Vec<usize>) {
    if top.lacks("positions") {
        let mend = "add a table under a heading [positions], with a line such as 1 = \"bridge\" for each";
        top.error(ProblemKind::MissingKey, top.line_of_key("positions"), "the table has no positions", mend);
    }
    let (mut sounds, mut lines) = (Vec::new(), Vec::new());
    for (i, (number, value)) in top.entries("positions", limits::POSITIONS).into_iter().enumerate() {
        let line = top.line_of(value);
        if number != (i + 1).to_string() {
            let what = format!("position `{}` stands where position {} belongs", shortened(&number), i + 1);
            top.error(ProblemKind::OutOfRange, line, what, "number the positions 1, 2, 3 .. in order");
        }
        if let Some(sound) = read_sound(top, &number, value) {
            sounds.push(sound);
            lines.push(line);
        }
    }
    (sounds, lines)
}

fn read_sound<'r, 't>(top: &Section<'r, 't>, number: &str, value: &'r Value<'t>) -> Option<Sound> {
    let Some(text) = value.get_ref().as_str() else {
        return top.wrong_type(number, value, "a sound such as \"bridge + middle\"");
    };
    let told = |(column, what): (usize, String)| {
        let what = format!("at character {column} of \"{}\": {what}", shortened(text));
        top.error(ProblemKind::BadSound, top.line_of(value), what, SOUND_MEND);
    };
    Sound::parse(text).map_err(told).ok()
}

/// Where a setting stands: the switches that are moved already, and how many positions the table has.
struct Context<'a> {
    above: &'a [(String, String)],
    positions: usize,
}

/// Reads `[switches.LABEL]`: a table for each of the switch's positions but the first.
fn read_switch<'r, 't>(
    top: &Section<'r, 't>,
    label: &str,
    value: &'r Value<'t>,
    context: &Context<'_>,
    settings: &mut Vec<Setting>,
) {
    top.check_label("a switch's label", label, top.line_of(value));
    if context.above.iter().any(|(known, _)| known == label) {
        let what = format!("the switch `{}` stands inside itself", shortened(label));
        top.error(ProblemKind::DuplicateName, top.line_of(value), what, "name each switch once on the way");
        return;
    }
    for (name, value) in top.entries_of(label, value, "a table for each of its positions", limits::POSITIONS) {
        let mut switches = context.above.to_vec();
        switches.push((label.to_string(), name));
        read_setting(top, switches, value, context.positions, settings);
    }
}

/// Reads what differs in one setting: numbers are positions, `knobs` what knobs do, and other names further switches.
fn read_setting<'r, 't>(
    top: &Section<'r, 't>,
    switches: Vec<(String, String)>,
    value: &'r Value<'t>,
    count: usize,
    settings: &mut Vec<Setting>,
) {
    let line = top.line_of(value);
    if settings.len() >= limits::SETTINGS {
        let what = format!("more than {} settings of switches are not read", limits::SETTINGS);
        top.error(ProblemKind::TooLarge, line, what, "leave some out");
        return;
    }
    let place = settings.len();
    settings.push(Setting { switches: switches.clone(), positions: Vec::new(), knobs: Vec::new(), line });
    let name = &switches[switches.len() - 1].1;
    for (key, value) in top.entries_of(name, value, "a table such as { 5 = \"neck\" }", limits::POSITIONS) {
        if key == "knobs" {
            let entries = top.entries_of(&key, value, "a table of knobs", limits::NAME);
            settings[place].knobs = read_knobs(top, entries, count);
        } else if value.get_ref().is_table() {
            read_switch(top, &key, value, &Context { above: &switches, positions: count }, settings);
        } else {
            read_changed(top, &key, value, count, &mut settings[place]);
        }
    }
    settings[place].positions.sort_by_key(|(number, _)| *number);
}

fn read_changed<'r, 't>(top: &Section<'r, 't>, key: &str, value: &'r Value<'t>, count: usize, setting: &mut Setting) {
    let most = u8::try_from(count).unwrap_or(u8::MAX);
    let Some(number) = (1..=most).find(|number| number.to_string() == key) else {
        let what = format!("the table has no position `{}`", shortened(key));
        let mend = format!("name a position of the table, 1 to {count}, or write a further switch as a table");
        return top.error(ProblemKind::OutOfRange, top.line_of(value), what, &mend);
    };
    if let Some(sound) = read_sound(top, key, value) {
        setting.positions.push((number, sound));
    }
}

fn read_knobs<'r, 't>(top: &Section<'r, 't>, entries: Vec<(String, &'r Value<'t>)>, positions: usize) -> Vec<KnobWish> {
    let mut wishes = Vec::new();
    for (label, value) in entries {
        let line = top.line_of(value);
        top.check_label("a knob's label", &label, line);
        let Some(text) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&label, value, "what it does, such as \"blend neck in 1 2\"");
            continue;
        };
        match parse_wish(&label, text, positions) {
            Ok(wish) => wishes.push(KnobWish { line, ..wish }),
            Err((what, mend)) => top.error(ProblemKind::BadSound, line, what, mend),
        }
    }
    wishes
}

fn parse_wish(label: &str, text: &str, positions: usize) -> Result<KnobWish, (String, &'static str)> {
    let (action, places) = match text.split_once(" in ") {
        Some((action, places)) => (action, Some(places)),
        None => (text, None),
    };
    let action = match action.split_whitespace().collect::<Vec<_>>()[..] {
        ["volume"] => KnobAction::Volume,
        ["tone"] => KnobAction::Tone,
        ["blend", pickup] => KnobAction::Blend { pickup: pickup.into() },
        ["nothing"] => KnobAction::Nothing,
        _ => {
            let mend =
                "write `volume`, `tone`, `blend PICKUP` or `nothing`, perhaps with positions behind it: `in 1 2`";
            return Err((format!("\"{}\" is nothing a knob does", shortened(text)), mend));
        }
    };
    let count = u8::try_from(positions).unwrap_or(u8::MAX);
    let mut numbers = Vec::new();
    for word in places.into_iter().flat_map(str::split_whitespace) {
        let number = (1..=count).find(|number| number.to_string() == word);
        let mend = "name positions of the table, such as `in 1 2`";
        numbers.push(number.ok_or_else(|| (format!("there is no position `{}`", shortened(word)), mend))?);
    }
    numbers.sort_unstable();
    numbers.dedup();
    let positions = if places.is_none() { (1..=count).collect() } else { numbers };
    Ok(KnobWish { label: label.into(), action, positions, line: 0 })
}

/// Reports wishes that no wiring can grant: a pickup blended in where it is on already, two blends of one pickup at once.
fn check_against_themselves(top: &Section<'_, '_>, positions: &[Sound], knobs: &[KnobWish]) {
    for (i, wish) in knobs.iter().enumerate() {
        let KnobAction::Blend { pickup } = &wish.action else { continue };
        for &number in &wish.positions {
            let on = positions.get(usize::from(number) - 1);
            if on.is_some_and(|sound| sound.voices().any(|voice| voice.pickup == *pickup)) {
                let what = format!(
                    "`{}` is to blend the {pickup} in in position {number}, where it is on already",
                    wish.label
                );
                let mend = "leave that position out of the blend, or the pickup out of that position";
                top.error(ProblemKind::BadSound, wish.line, what, mend);
            }
        }
        let clash = |other: &&KnobWish| {
            other.action == wish.action && other.positions.iter().any(|number| wish.positions.contains(number))
        };
        if let Some(other) = knobs[..i].iter().find(clash) {
            let what = format!("`{}` and `{}` both blend the {pickup} in in one position", other.label, wish.label);
            top.error(ProblemKind::BadSound, wish.line, what, "leave it to one of them");
        }
    }
}
