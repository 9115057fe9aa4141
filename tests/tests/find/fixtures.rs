//! Tables, and what a search makes of them.

use std::ops::ControlFlow;

use dryfit_dsp::circuit::check;
use dryfit_dsp::document::{Assembly, DocumentKind, Guitar, KnobAction, Library, ProblemKind, Problems, Sounds};
use dryfit_dsp::find::{Effort, Found, Impossible, Outcome, find, read_off};

/// The switches that come up again and again.
pub const ORDINARY: &str = "lever-5-position";
pub const TWO_POLES: &str = "lever-2-pole-5-position";

/// The ordinary five positions.
pub const POSITIONS: [&str; 5] = ["bridge", "bridge + middle", "middle", "neck + middle", "neck"];
/// The same with the outer pair in the centre.
pub const OUTER_PAIR: [&str; 5] = ["bridge", "bridge + middle", "neck + bridge", "neck + middle", "neck"];

pub fn guitar() -> Guitar {
    Library::presets().guitar("three-single-coils").unwrap()
}

/// A table with a volume, a master tone and what `more` holds.
pub fn table(positions: &[&str], more: &str) -> Sounds {
    let numbered = (1..).zip(positions).map(|(number, sound)| format!("{number} = \"{sound}\"\n"));
    let positions: String = numbered.collect();
    let text = format!(
        "format = 1\ntitle = \"t\"\n[positions]\n{positions}[knobs]\nvolume = \"volume\"\ntone = \"tone\"\n{more}\n"
    );
    Sounds::read("table.toml", &text).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}

pub fn search(sounds: &Sounds, switch: &str) -> Result<Outcome, Problems> {
    find(&Library::presets(), sounds, &guitar(), Some(switch), Effort::default(), &mut |_, _| ControlFlow::Continue(()))
}

#[track_caller]
pub fn found(sounds: &Sounds, switch: &str) -> Found {
    match search(sounds, switch) {
        Ok(Outcome::Found(found)) => {
            assert_gives(&found, sounds, &guitar());
            found
        }
        other => panic!("{switch}: {other:?}"),
    }
}

#[track_caller]
pub fn impossible(sounds: &Sounds, switch: &str) -> Impossible {
    match search(sounds, switch) {
        Ok(Outcome::Impossible(impossible)) => impossible,
        other => panic!("{switch}: {other:?}"),
    }
}

pub fn assembled(found: &Found, guitar: &Guitar) -> Assembly {
    let mut library = Library::presets();
    library.insert(DocumentKind::Wiring, "found", "found", &found.wiring);
    let wiring = library.wiring("found").unwrap_or_else(|problems| panic!("{problems}\n{}", found.wiring));
    Assembly::new(&wiring, guitar, &library).unwrap_or_else(|problems| panic!("{problems}\n{}", found.wiring))
}

/// The found wiring is an ordinary document without a mistake or a shorted pickup, and its table read back is the wish.
#[track_caller]
pub fn assert_gives(found: &Found, wish: &Sounds, guitar: &Guitar) {
    let assembly = assembled(found, guitar);
    let problems = check(&assembly);
    // Loops are harmless, and silence may be what was asked for.
    let silent = wish.positions.iter().any(|sound| sound.is_silent());
    let allowed = |kind| kind == ProblemKind::SwitchLoop || (silent && kind == ProblemKind::SilentPosition);
    let serious = problems.0.iter().filter(|problem| !allowed(problem.kind));
    assert_eq!(serious.count(), 0, "{problems}\n{}", found.wiring);
    let back = read_off(&assembly).sounds(&assembly).unwrap_or_else(|error| panic!("{error}\n{}", found.wiring));
    assert_same(wish, &back, &assembly, &found.wiring);
}

/// Both tables say the same in every combination, wherever the first says anything.
#[track_caller]
pub fn assert_same(wish: &Sounds, back: &Sounds, assembly: &Assembly, context: &str) {
    let mut settings: Vec<Vec<(String, String)>> = vec![Vec::new()];
    settings.extend(back.settings.iter().map(|setting| setting.switches.clone()));
    for moved in settings {
        for position in 1..=assembly.controls.positions {
            let place = format!("position {position} {moved:?}\n{context}");
            let Some(wanted) = wish.sound(position, &moved) else { continue };
            let sound = back.sound(position, &moved).unwrap();
            assert!(sound.same_as(wanted), "{sound} instead of {wanted} in {place}");
            for knob in wish.knobs.iter().filter(|_| !wanted.is_silent()) {
                if let Some(action) = wish.action(&knob.label, position, &moved) {
                    // A knob that does nothing anywhere is left out.
                    let does = back.action(&knob.label, position, &moved).unwrap_or(KnobAction::Nothing);
                    assert_eq!(does, action, "{} in {place}", knob.label);
                }
            }
        }
    }
}
