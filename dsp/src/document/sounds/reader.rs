//! A sounds table as it is written.

use super::contradictions;
use super::knobs::read_knobs;
use super::sound::Sound;
use super::{Setting, Sounds};
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
    let sounds = Sounds {
        file: top.file().to_string(),
        title: title.as_ref().map(|title| title.value.clone()).unwrap_or_default(),
        about: about.map(|about| about.value).unwrap_or_default(),
        positions,
        knobs,
        settings,
        lines,
    };
    // Where a sound could not be read, numbers and sounds do not go together.
    if sounds.positions.len() == count {
        contradictions::report(top, &sounds);
    }
    title.map(|_| sounds)
}

/// How a sound is written, where it is not.
const SOUND_MEND: &str = "write pickups joined by `+` (in parallel) or `in series with`, each perhaps `reversed`, with brackets around what is \
     joined first; or `silent`";

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
    let (positions, knobs, lines) = Default::default();
    settings.push(Setting { switches: switches.clone(), positions, knobs, line, lines });
    let mut changed = Vec::new();
    let name = &switches[switches.len() - 1].1;
    for (key, value) in top.entries_of(name, value, "a table such as { 5 = \"neck\" }", limits::POSITIONS) {
        if key == "knobs" {
            let entries = top.entries_of(&key, value, "a table of knobs", limits::NAME);
            settings[place].knobs = read_knobs(top, entries, count);
        } else if value.get_ref().is_table() {
            read_switch(top, &key, value, &Context { above: &switches, positions: count }, settings);
        } else {
            changed.extend(read_changed(top, &key, value, count));
        }
    }
    changed.sort_by_key(|(_, (number, _))| *number);
    (settings[place].lines, settings[place].positions) = changed.into_iter().unzip();
}

/// A position that sounds different, with its line.
fn read_changed<'r, 't>(
    top: &Section<'r, 't>,
    key: &str,
    value: &'r Value<'t>,
    count: usize,
) -> Option<(usize, (u8, Sound))> {
    let most = u8::try_from(count).unwrap_or(u8::MAX);
    let Some(number) = (1..=most).find(|number| number.to_string() == key) else {
        let what = format!("the table has no position `{}`", shortened(key));
        let mend = format!("name a position of the table, 1 to {count}, or write a further switch as a table");
        top.error(ProblemKind::OutOfRange, top.line_of(value), what, &mend);
        return None;
    };
    Some((top.line_of(value), (number, read_sound(top, key, value)?)))
}
