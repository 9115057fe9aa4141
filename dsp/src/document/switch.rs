//! Switches as their documents describe them: nothing about a switch is in code.

use serde::Serialize;

use super::problem::{ProblemKind, Problems, suggestion};
use super::reader::{Reader, Section};

/// A selector lever, a toggle or a push-pull: its lugs, and which are joined in each position.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Switch {
    /// What it is, for people.
    pub title: String,
    /// What to know when buying or wiring it, for people.
    pub about: String,
    /// What it is used as.
    pub kind: SwitchKind,
    /// Poles in the order they lie on the part.
    pub poles: Vec<Pole>,
    /// From position 1 (a lever's bridge end).
    pub positions: Vec<SwitchPosition>,
}

/// What a switch is used as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SwitchKind {
    /// The pickup selector.
    Selector,
    /// A toggle or push-pull beside the selector.
    Toggle,
}

/// One pole: lugs in the order they lie, the common one first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pole {
    /// Its letter.
    pub name: String,
    /// Names of its lugs.
    pub lugs: Vec<String>,
}

/// One position of a switch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwitchPosition {
    /// Its name, if it has one beside its number (`up`, `down`).
    pub name: Option<String>,
    /// Groups of lugs that are joined in it.
    pub joined: Vec<Vec<String>>,
}

impl Switch {
    /// Reads a switch document. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, |top| {
            let title = top.text("title");
            let about = top.optional_text("about");
            let kind = read_kind(top);
            let poles = read_poles(top);
            let positions =
                top.tables("positions").iter().map(|section| read_position(section, &poles)).collect::<Vec<_>>();
            if positions.is_empty() {
                top.error(
                    ProblemKind::MissingKey,
                    top.line(),
                    "the switch has no positions",
                    "add a [[positions]] table for each",
                );
            }
            Some(Self {
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                kind: kind?,
                poles,
                positions,
            })
        })
    }

    /// All its lugs, in the order they lie.
    pub fn lugs(&self) -> impl Iterator<Item = &str> {
        self.poles.iter().flat_map(|pole| pole.lugs.iter().map(String::as_str))
    }

    /// The number, from 1, of the position of that name or number.
    pub fn position(&self, name: &str) -> Option<u8> {
        let named = self.positions.iter().position(|position| position.name.as_deref() == Some(name));
        let index = named.or_else(|| name.parse::<usize>().ok()?.checked_sub(1))?;
        (index < self.positions.len()).then(|| u8::try_from(index + 1).ok()).flatten()
    }
}

fn read_kind(top: &Section<'_, '_>) -> Option<SwitchKind> {
    let kind = top.text("kind")?;
    match kind.value.as_str() {
        "selector" => Some(SwitchKind::Selector),
        "toggle" => Some(SwitchKind::Toggle),
        other => {
            let what = format!("`{other}` is no kind of switch{}", suggestion(other, ["selector", "toggle"]));
            top.error(ProblemKind::UnknownName, kind.line, what, "write \"selector\" or \"toggle\"");
            None
        }
    }
}

fn read_poles(top: &Section<'_, '_>) -> Vec<Pole> {
    let mut poles: Vec<Pole> = Vec::new();
    for (name, value) in top.entries("poles") {
        let Some(lugs) = top.text_list("poles", value) else {
            continue;
        };
        for lug in &lugs.value {
            if poles.iter().any(|pole| pole.lugs.contains(&lug.value)) {
                let what = format!("the lug `{}` stands on two poles", lug.value);
                top.error(ProblemKind::DuplicateName, lug.line, what, "give every lug a name of its own");
            }
        }
        poles.push(Pole { name, lugs: lugs.value.into_iter().map(|lug| lug.value).collect() });
    }
    if poles.is_empty() {
        let mend = "add `poles = { a = [\"a\", \"a1\", ..] }`";
        top.error(ProblemKind::MissingKey, top.line(), "the switch has no poles", mend);
    }
    poles
}

fn read_position(section: &Section<'_, '_>, poles: &[Pole]) -> SwitchPosition {
    let name = section.optional_text("name").map(|name| name.value);
    let joined = section.text_lists("joined").unwrap_or_default();
    let known = || poles.iter().flat_map(|pole| pole.lugs.iter().map(String::as_str));
    for lug in joined.iter().flatten() {
        if !known().any(|name| name == lug) {
            let what = format!("the switch has no lug `{lug}`{}", suggestion(lug, known()));
            section.error(ProblemKind::UnknownLug, section.line(), what, "name lugs of its poles");
        }
    }
    SwitchPosition { name, joined }
}
