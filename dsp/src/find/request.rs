//! What is asked of a search, and what is wrong with asking it.

use super::nets::MOST;
use super::wish::Chosen;
use super::writing::part_name;
use crate::document::{
    Assembly, DocumentKind, Guitar, KnobAction, KnobWish, Library, Mix, Problem, ProblemKind, Problems, Severity,
    Sound, Sounds, Switch, SwitchKind, suggestion,
};

/// Switches for a sounds table: the selector, then one for each switch the table names, in the order in which it does.
///
/// # Errors
/// When the selector's document is wrong, or no known switch has the positions that the table names.
pub(super) fn choose(library: &Library, sounds: &Sounds, selector: &str) -> Result<Vec<Chosen>, Problems> {
    let switch = library.switch(selector)?;
    let mut chosen = vec![Chosen { name: selector.into(), switch, label: None }];
    let mut problems = Problems::default();
    for (label, names, line) in labels(sounds) {
        match toggle(library, &names) {
            Some((name, switch)) => chosen.push(Chosen { name, switch, label: Some(label) }),
            None => {
                let what = format!("no known switch has positions called {}", names.join(", "));
                problems.0.push(error(sounds, ProblemKind::UnknownName, line, what, TOGGLE_MEND));
            }
        }
    }
    if problems.any_error() { Err(problems) } else { Ok(chosen) }
}

const TOGGLE_MEND: &str =
    "name positions of a toggle or push-pull under presets/switches, such as `up`; its first position needs no table";

/// Labels of the switches a table names, with the positions named and the line of the first.
fn labels(sounds: &Sounds) -> Vec<(String, Vec<String>, usize)> {
    let mut labels: Vec<(String, Vec<String>, usize)> = Vec::new();
    for setting in &sounds.settings {
        for (label, position) in &setting.switches {
            match labels.iter_mut().find(|(known, ..)| known == label) {
                Some((_, names, _)) if !names.contains(position) => names.push(position.clone()),
                Some(_) => {}
                None => labels.push((label.clone(), vec![position.clone()], setting.line)),
            }
        }
    }
    labels
}

/// The toggle with these positions: two poles before one, then the one with the fewest positions; a push-pull before a toggle,
/// because it needs no hole.
fn toggle(library: &Library, names: &[String]) -> Option<(String, Switch)> {
    let all = library.names(DocumentKind::Switch).map(str::to_string).collect::<Vec<_>>();
    let fitting = all.into_iter().filter_map(|name| Some((name.clone(), library.switch(&name).ok()?)));
    let fitting = fitting.filter(|(_, switch)| {
        let known = |name: &String| switch.position(name).is_some_and(|number| number > 1);
        switch.kind == SwitchKind::Toggle && names.iter().all(known)
    });
    fitting.min_by_key(|(name, switch)| {
        (switch.positions.len(), std::cmp::Reverse(switch.poles.len()), !switch.under_pot, name.clone())
    })
}

/// Everything that is wrong with asking for a table on a guitar with these switches.
pub(super) fn check(sounds: &Sounds, guitar: &Guitar, switches: &[Chosen]) -> Problems {
    let mut problems = Problems::default();
    check_positions(sounds, &switches[0], &mut problems);
    let moved = sounds.settings.iter().flat_map(|setting| setting.positions.iter().map(|(_, sound)| sound));
    if sounds.positions.iter().chain(moved).all(Sound::is_silent) {
        let line = sounds.lines.first().copied().unwrap_or(0);
        let what = "nothing sounds in any position".to_string();
        problems.0.push(error(sounds, ProblemKind::BadSound, line, what, "name a pickup in one of them"));
    }
    let base = (1..).zip(&sounds.positions).map(|(number, sound)| (number, sound, line_of(sounds, number)));
    let moved = sounds.settings.iter().flat_map(|setting| {
        (0..).zip(&setting.positions).map(|(at, (number, sound))| (*number, sound, setting.lines.get(at).copied()))
    });
    for (number, sound, line) in base.chain(moved) {
        check_sound(sounds, guitar, number, sound, line.unwrap_or(0), &mut problems);
    }
    for wish in sounds.knobs.iter().chain(sounds.settings.iter().flat_map(|setting| &setting.knobs)) {
        check_knob(sounds, guitar, wish, &mut problems);
    }
    check_labels(sounds, guitar, switches, &mut problems);
    check_size(sounds, guitar, switches, &mut problems);
    problems
}

fn line_of(sounds: &Sounds, number: u8) -> Option<usize> {
    sounds.lines.get(usize::from(number).checked_sub(1)?).copied()
}

fn check_positions(sounds: &Sounds, selector: &Chosen, problems: &mut Problems) {
    let (asked, has) = (sounds.positions.len(), selector.switch.positions.len());
    if asked > has {
        let what = format!("position {} is asked of `{}`, which has {has}", has + 1, selector.name);
        let line = sounds.lines.get(has).copied().unwrap_or(0);
        problems.0.push(error(sounds, ProblemKind::OutOfRange, line, what, "leave it out, or choose another switch"));
    }
    if asked < has {
        let what = format!("the table has {asked} positions, but `{}` has {has}", selector.name);
        let line = sounds.lines.last().copied().unwrap_or(0);
        problems.0.push(error(sounds, ProblemKind::OutOfRange, line, what, "give every position its sound"));
    }
}

fn check_sound(sounds: &Sounds, guitar: &Guitar, number: u8, sound: &Sound, line: usize, problems: &mut Problems) {
    let covered = |name: &str| guitar.pickup(name).is_some_and(|pickup| pickup.grounded_cover);
    for (pickup, reversed) in sound.voices() {
        if guitar.pickup(pickup).is_none() {
            problems.0.push(unknown_pickup(sounds, guitar, pickup, line));
        } else if reversed && covered(pickup) {
            let what = format!("position {number} reverses the {pickup}, whose cover is on its own ground lead");
            problems.0.push(error(sounds, ProblemKind::BadSound, line, what, COVER_MEND));
        }
    }
    if let Some(names) = sound.mix.as_ref().and_then(|mix| crowded(mix, &covered)) {
        let what = format!(
            "position {number} puts {} in series, but their covers are on their own ground leads: in a chain only one \
             pickup's ground lead stays on ground",
            names.join(" and ")
        );
        problems.0.push(error(sounds, ProblemKind::BadSound, line, what, COVER_MEND));
    }
}

/// The covered pickups of something in series of which only one part can stand at the bottom, on ground; none where all can.
fn crowded<'a>(mix: &'a Mix<String>, covered: &impl Fn(&str) -> bool) -> Option<Vec<&'a str>> {
    let of = |mix: &'a Mix<String>| -> Vec<&'a str> {
        mix.voices().into_iter().map(|(pickup, _)| pickup.as_str()).filter(|pickup| covered(pickup)).collect()
    };
    match mix {
        Mix::Pickup { .. } => None,
        Mix::Series(parts) if parts.iter().filter(|part| !of(part).is_empty()).count() > 1 => Some(of(mix)),
        Mix::Series(parts) | Mix::Parallel(parts) => parts.iter().find_map(|part| crowded(part, covered)),
    }
}

const COVER_MEND: &str = "give the cover a ground wire of its own first (and take grounded-cover out of the guitar), or leave that sound out";

fn check_knob(sounds: &Sounds, guitar: &Guitar, wish: &KnobWish, problems: &mut Problems) {
    let mut refuse = |what: String, mend: &str| {
        problems.0.push(error(sounds, ProblemKind::BadSound, wish.line, what, mend));
    };
    match &wish.action {
        KnobAction::Blend { pickup } if guitar.pickup(pickup).is_none() => {
            problems.0.push(unknown_pickup(sounds, guitar, pickup, wish.line));
        }
        KnobAction::Volume if !acts_wherever_something_sounds(sounds, wish) => {
            let mend = "let it act in every position";
            refuse(format!("`{}` is a volume in some positions only", wish.label), mend);
        }
        _ => {}
    }
    let base = sounds.knobs.iter().find(|known| known.label == wish.label);
    match base {
        None => {
            let what = format!("the knob `{}` is named with a switch moved, but not under [knobs]", wish.label);
            problems.0.push(error(sounds, ProblemKind::BadSound, wish.line, what, "name it there as well"));
        }
        Some(base) if base.action != wish.action && ![&base.action, &wish.action].contains(&&KnobAction::Nothing) => {
            let what = format!("`{}` cannot be two things: a pot is wired for one", wish.label);
            problems.0.push(error(
                sounds,
                ProblemKind::BadSound,
                wish.line,
                what,
                "let it act as one thing, or as nothing",
            ));
        }
        _ => {}
    }
}

fn acts_wherever_something_sounds(sounds: &Sounds, wish: &KnobWish) -> bool {
    let mut sounding = (1..).zip(&sounds.positions).filter(|(_, sound)| !sound.is_silent());
    sounding.all(|(number, _)| wish.positions.contains(&number))
}

/// Parts are called after the labels, so these must leave every part a name of its own.
fn check_labels(sounds: &Sounds, guitar: &Guitar, switches: &[Chosen], problems: &mut Problems) {
    let mut taken: Vec<String> = guitar.pickups.iter().map(|pickup| pickup.name.clone()).collect();
    taken.extend(["jack", "selector"].map(String::from));
    let knobs = sounds.knobs.iter().map(|wish| (&wish.label, wish.line));
    let line = |label: &String| {
        let names = |setting: &&crate::document::Setting| setting.switches.iter().any(|(known, _)| known == label);
        sounds.settings.iter().find(names).map_or(0, |setting| setting.line)
    };
    let switches = switches.iter().filter_map(|chosen| chosen.label.as_ref()).map(|label| (label, line(label)));
    for (label, line) in knobs.chain(switches) {
        let name = part_name(label);
        if taken.contains(&name) {
            let what = format!("a part cannot be called `{name}` after the label `{label}`: that name is taken");
            problems.0.push(error(sounds, ProblemKind::DuplicateName, line, what, "give it a longer label"));
        }
        taken.push(name);
    }
}

fn check_size(sounds: &Sounds, guitar: &Guitar, switches: &[Chosen], problems: &mut Problems) {
    let combinations = switches.iter().map(|chosen| chosen.switch.positions.len()).fold(1usize, usize::saturating_mul);
    let lugs: usize = switches.iter().map(|chosen| chosen.switch.lugs().count()).sum();
    let leads = 2 + 2 * guitar.pickups.len() + sounds.knobs.len();
    let mut refuse = |what: String, mend: &str| {
        problems.0.push(error(sounds, ProblemKind::TooLarge, 0, what, mend));
    };
    if combinations > Assembly::MOST_COMBINATIONS {
        let most = Assembly::MOST_COMBINATIONS;
        let what =
            format!("selector and switches can stand in {combinations} ways, more than the {most} that are searched");
        refuse(what, "use fewer switches, or ones with fewer positions");
    }
    if lugs + leads > MOST {
        let what = format!("{lugs} lugs and up to {leads} leads are more than the {MOST} that are searched together");
        refuse(what, "use a switch with fewer lugs, or fewer switches");
    }
    let (knobs, beside) = Assembly::MOST_CONTROLS;
    if sounds.knobs.len() > knobs || switches.len() - 1 > beside {
        refuse(format!("a wiring has at most {knobs} knobs and {beside} switches"), "ask for fewer");
    }
}

fn unknown_pickup(sounds: &Sounds, guitar: &Guitar, name: &str, line: usize) -> Problem {
    let names: Vec<&str> = guitar.pickups.iter().map(|pickup| pickup.name.as_str()).collect();
    let what =
        format!("the guitar `{}` has no pickup `{name}`{}", guitar.title, suggestion(name, names.iter().copied()));
    error(sounds, ProblemKind::UnknownName, line, what, &format!("name one of {}", names.join(", ")))
}

fn error(sounds: &Sounds, kind: ProblemKind, line: usize, what: String, mend: &str) -> Problem {
    let line = (line > 0).then_some(line);
    let (file, mend) = (sounds.file.clone(), mend.to_string());
    Problem { severity: Severity::Error, kind, file, line, part: None, lug: None, what, mend }
}
