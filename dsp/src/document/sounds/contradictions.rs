//! Wishes of one table that no wiring can grant together.

use super::{KnobAction, KnobWish, Setting, Sounds};
use crate::document::problem::ProblemKind;
use crate::document::section::Section;

/// Reports blends of a pickup that is on already, or into silence, and two blends of one pickup at once: with the switches in their
/// first positions, and then what is wrong only with some of them moved.
pub(super) fn report(top: &Section<'_, '_>, sounds: &Sounds) {
    let at_rest = found(sounds, &[]);
    for told in grouped(&at_rest) {
        told.error(top, told.wish.line, "");
    }
    let mut known: Vec<(&Setting, Vec<Contradiction<'_>>)> = Vec::new();
    for setting in &sounds.settings {
        let mut more = found(sounds, &setting.switches);
        more.retain(|one| !at_rest.contains(one));
        // What is wrong with fewer switches moved is told there.
        let fewer = |(other, _): &&(&Setting, _)| other.switches.iter().all(|switch| setting.switches.contains(switch));
        known.iter().filter(fewer).for_each(|(_, told)| more.retain(|one| !told.contains(one)));
        let standing = setting.switches.iter().map(|(label, position)| format!(" with {label} {position}"));
        let standing: String = standing.collect();
        for told in grouped(&more) {
            told.error(top, line(setting, &told), &standing);
        }
        known.push((setting, more));
    }
}

/// One wish that cannot be granted in one position.
#[derive(Clone, Copy, PartialEq)]
struct Contradiction<'a> {
    wish: &'a KnobWish,
    pickup: &'a str,
    position: u8,
    why: Why<'a>,
}

#[derive(Clone, Copy, PartialEq)]
enum Why<'a> {
    OnAlready,
    Silent,
    /// Another knob, by its label.
    Twice(&'a str),
}

/// Contradictions of one knob for one reason.
struct Told<'a> {
    wish: &'a KnobWish,
    pickup: &'a str,
    positions: Vec<u8>,
    why: Why<'a>,
}

/// Everything that contradicts itself while switches are moved.
fn found<'a>(sounds: &'a Sounds, moved: &[(String, String)]) -> Vec<Contradiction<'a>> {
    let mut found = Vec::new();
    for (index, wish) in sounds.knobs.iter().enumerate() {
        for position in (1..).take(sounds.positions.len()) {
            let acts = |wish: &KnobWish| sounds.action(&wish.label, position, moved);
            let Some(action @ KnobAction::Blend { .. }) = acts(wish) else { continue };
            let Some(pickup) = pickup_of(sounds, &action) else { continue };
            let sound = sounds.sound(position, moved);
            let why = match sound {
                Some(sound) if sound.is_silent() => Some(Why::Silent),
                Some(sound) if sound.voices().iter().any(|(on, _)| *on == pickup) => Some(Why::OnAlready),
                _ => None,
            };
            let earlier = sounds.knobs[..index].iter().find(|other| acts(other).as_ref() == Some(&action));
            let why = why.into_iter().chain(earlier.map(|other| Why::Twice(&other.label)));
            found.extend(why.map(|why| Contradiction { wish, pickup, position, why }));
        }
    }
    found
}

/// The pickup that a blend feeds in, as the table has it.
fn pickup_of<'a>(sounds: &'a Sounds, action: &KnobAction) -> Option<&'a str> {
    let mut wishes = sounds.knobs.iter().chain(sounds.settings.iter().flat_map(|setting| &setting.knobs));
    wishes.find_map(|wish| match &wish.action {
        KnobAction::Blend { pickup } if wish.action == *action => Some(pickup.as_str()),
        _ => None,
    })
}

fn grouped<'a>(all: &[Contradiction<'a>]) -> Vec<Told<'a>> {
    let mut told: Vec<Told<'a>> = Vec::new();
    for &Contradiction { wish, pickup, position, why } in all {
        let same = |told: &&mut Told<'_>| (told.wish, told.pickup, told.why) == (wish, pickup, why);
        match told.iter_mut().find(same) {
            Some(told) => told.positions.push(position),
            None => told.push(Told { wish, pickup, positions: vec![position], why }),
        }
    }
    told
}

/// Where a setting says what contradicts: at its knob, at its position, or as a whole.
fn line(setting: &Setting, told: &Told<'_>) -> usize {
    let concerns = |wish: &&KnobWish| wish.label == told.wish.label || told.why == Why::Twice(&wish.label);
    let knob = setting.knobs.iter().find(concerns).map(|wish| wish.line);
    let position = setting.positions.iter().position(|(number, _)| told.positions.contains(number));
    knob.or_else(|| setting.lines.get(position?).copied()).unwrap_or(setting.line)
}

impl Told<'_> {
    fn error(&self, top: &Section<'_, '_>, line: usize, standing: &str) {
        let (label, pickup) = (&self.wish.label, self.pickup);
        let numbers: Vec<String> = self.positions.iter().map(u8::to_string).collect();
        let several = if numbers.len() > 1 { "s" } else { "" };
        let place = format!("in position{several} {}{standing}", numbers.join(" "));
        let (what, mend) = match self.why {
            Why::OnAlready => (
                format!("`{label}` is to blend the {pickup} in {place}, where it is on already"),
                "leave that position out of the blend, or the pickup out of that position",
            ),
            Why::Silent => (
                format!("`{label}` is to blend the {pickup} in {place}, where there is nothing to blend it into"),
                "leave that position out of the blend, or let something sound there",
            ),
            Why::Twice(other) => {
                (format!("`{other}` and `{label}` both blend the {pickup} in {place}"), "leave it to one of them")
            }
        };
        let knobs = "; what a knob does with a switch moved stands under `knobs` there";
        let mend = if standing.is_empty() { mend.to_string() } else { format!("{mend}{knobs}") };
        top.error(ProblemKind::BadSound, line, what, &mend);
    }
}
