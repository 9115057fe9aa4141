//! Switches as their documents describe them: nothing about a switch is in code.

use serde::Serialize;

use super::limits;
use super::problem::{ProblemKind, Problems, shortened};
use super::reader::Reader;
use super::section::Section;
use super::suggestion::suggestion;
use super::values::holds_only_texts;

/// A selector lever, a toggle or a push-pull: its lugs, and which are joined in each position.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Switch {
    /// What it is, for people.
    pub title: String,
    /// What to know when buying or wiring it, for people.
    pub about: String,
    /// What it is used as.
    pub kind: SwitchKind,
    /// Whether it is one that has to be asked for, which a parts list marks.
    pub special: bool,
    /// Whether the shaft of a pot carries it.
    pub under_pot: bool,
    /// Poles in the order they lie on the part.
    pub poles: Vec<Pole>,
    /// Rows of lugs as they lie on the part, seen from the lugs' side, an empty name where a row has a gap; empty where
    /// the document does not say, and then every pole is a row: see [`Switch::rows`].
    pub layout: Vec<Vec<String>>,
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
            let special = top.flag("special");
            let under_pot = top.flag("under-pot");
            let poles = read_poles(top);
            let layout = read_layout(top, &poles);
            let positions = read_positions(top, &poles);
            Some(Self {
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                kind: kind?,
                special,
                under_pot,
                poles,
                layout,
                positions,
            })
        })
    }

    /// All its lugs, in the order they lie.
    pub fn lugs(&self) -> impl Iterator<Item = &str> {
        self.poles.iter().flat_map(|pole| pole.lugs.iter().map(String::as_str))
    }

    /// Rows of lugs as they lie: the layout, or else a row for every pole, its lugs in their order.
    pub fn rows(&self) -> Vec<Vec<String>> {
        match &self.layout[..] {
            [] => self.poles.iter().map(|pole| pole.lugs.clone()).collect(),
            rows => rows.to_vec(),
        }
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
            let near = suggestion(other, ["selector", "toggle"]);
            let what = format!("`{}` is no kind of switch{near}", shortened(other));
            top.error(ProblemKind::UnknownName, kind.line, what, "write \"selector\" or \"toggle\"");
            None
        }
    }
}

fn read_poles(top: &Section<'_, '_>) -> Vec<Pole> {
    let mut poles: Vec<Pole> = Vec::new();
    let mut known: Vec<String> = Vec::new();
    for (name, value) in top.entries("poles", limits::LUGS) {
        let line = top.line_of(value);
        top.check_name(&name, line);
        let Some(lugs) = top.text_list("poles", value) else {
            continue;
        };
        if lugs.value.len() < 2 {
            let mend = "list its common lug and at least one throw";
            top.error(ProblemKind::MissingKey, line, format!("the pole `{name}` switches nothing"), mend);
        }
        for lug in &lugs.value {
            top.check_name(&lug.value, lug.line);
            if known.contains(&lug.value) {
                let what = format!("two lugs are called `{}`", shortened(&lug.value));
                top.error(ProblemKind::DuplicateName, lug.line, what, "give every lug a name of its own");
            }
            known.push(lug.value.clone());
        }
        poles.push(Pole { name, lugs: lugs.value.into_iter().map(|lug| lug.value).collect() });
    }
    if known.len() > limits::LUGS {
        let what = format!("{} lugs are more than the {} a switch may have", known.len(), limits::LUGS);
        top.error(ProblemKind::TooLarge, top.line_of_key("poles"), what, "leave some out");
    }
    if top.lacks("poles") {
        let mend = "add a line such as poles = { a = [\"a\", \"a1\", \"a2\"] }";
        top.error(ProblemKind::MissingKey, top.line_of_key("poles"), "the switch has no poles", mend);
    }
    poles
}

/// Optional: where the lugs lie. Every lug has one place; an empty name is a gap.
fn read_layout(top: &Section<'_, '_>, poles: &[Pole]) -> Vec<Vec<String>> {
    if !top.has("layout") {
        return Vec::new();
    }
    let line = top.line_of_key("layout");
    let Some(rows) = top.text_lists("layout") else {
        return Vec::new();
    };
    let known = || poles.iter().flat_map(|pole| pole.lugs.iter().map(String::as_str));
    let mut placed: Vec<&str> = Vec::new();
    for lug in rows.iter().flat_map(|row| &row.value).filter(|lug| !lug.value.is_empty()) {
        if placed.contains(&lug.value.as_str()) {
            let what = format!("the lug `{}` has two places", shortened(&lug.value));
            top.error(ProblemKind::DuplicateName, lug.line, what, "name every lug once in the layout");
        } else if !poles.is_empty() && !known().any(|name| name == lug.value) {
            let what = format!("the switch has no lug `{}`{}", shortened(&lug.value), suggestion(&lug.value, known()));
            top.error(ProblemKind::UnknownLug, lug.line, what, "name a lug that is listed under `poles`");
        }
        placed.push(&lug.value);
    }
    for row in rows.iter().filter(|row| row.value.iter().all(|lug| lug.value.is_empty())) {
        let what = "a row of the layout has no lug";
        top.error(ProblemKind::MissingKey, row.line, what, "name the lugs that lie in it, or leave the row out");
    }
    let missing: Vec<&str> = known().filter(|name| !placed.contains(name)).collect();
    // What is no text was told already, and may have been the missing one.
    if !missing.is_empty() && top.get("layout").is_some_and(holds_only_texts) {
        let what = format!("the layout has no place for {}", shortened(&missing.join(", ")));
        top.error(ProblemKind::MissingKey, line, what, "name every lug once in the layout, or leave the layout out");
    }
    rows.into_iter().map(|row| row.value.into_iter().map(|lug| lug.value).collect()).collect()
}

fn read_positions(top: &Section<'_, '_>, poles: &[Pole]) -> Vec<SwitchPosition> {
    if top.lacks("positions") {
        let mend = "add a table under a heading [[positions]] for each";
        top.error(ProblemKind::MissingKey, top.line(), "the switch has no positions", mend);
    }
    let mut positions: Vec<SwitchPosition> = Vec::new();
    for section in top.tables("positions", limits::POSITIONS) {
        let position = read_position(&section, poles);
        if let Some(name) = &position.name {
            let line = section.line_of_key("name");
            section.check_label("name", name, line);
            if positions.iter().any(|earlier| earlier.name.as_ref() == Some(name)) || name.parse::<f64>().is_ok() {
                let what = format!("a position cannot be called `{}`", shortened(name));
                let mend = "give it a name that is no number and no other position's, or leave the name out";
                section.error(ProblemKind::DuplicateName, line, what, mend);
            }
        }
        positions.push(position);
    }
    positions
}

fn read_position(section: &Section<'_, '_>, poles: &[Pole]) -> SwitchPosition {
    let name = section.optional_text("name").map(|name| name.value);
    let joined = section.text_lists("joined").unwrap_or_default();
    let known = || poles.iter().flat_map(|pole| pole.lugs.iter().map(String::as_str));
    for group in &joined {
        if group.value.len() < 2 {
            let mend = "list two lugs or more, or remove the list";
            section.error(ProblemKind::LoneLug, group.line, "a list of fewer than two lugs joins nothing", mend);
        }
        for lug in group.value.iter().filter(|lug| !poles.is_empty() && !known().any(|name| name == lug.value)) {
            let what = format!("the switch has no lug `{}`{}", shortened(&lug.value), suggestion(&lug.value, known()));
            let mend = "name a lug that is listed under `poles`";
            section.error(ProblemKind::UnknownLug, lug.line, what, mend);
        }
    }
    let joined = joined.into_iter().map(|group| group.value.into_iter().map(|lug| lug.value).collect()).collect();
    SwitchPosition { name, joined }
}
