//! Sounds tables: the wish, before any wiring.

mod contradictions;
mod knobs;
mod mix;
mod reader;
mod sound;
mod words;
mod writer;

use serde::Serialize;

use super::problem::Problems;
use super::reader::Reader;

pub use mix::Mix;
pub use sound::Sound;

/// One sound per selector position, and what each knob does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sounds {
    /// The document's path or preset name, for problems.
    pub file: String,
    /// What it is called.
    pub title: String,
    /// What it is for, for people.
    pub about: String,
    /// From position 1, with every switch beside the selector in its first position.
    pub positions: Vec<Sound>,
    /// In the order in which they are written.
    pub knobs: Vec<KnobWish>,
    /// What changes when switches beside the selector are moved, in the order in which it is written.
    pub settings: Vec<Setting>,
    /// The line of each position, for problems; empty for a table that was not read from a file.
    #[serde(skip)]
    pub lines: Vec<usize>,
}

/// What differs while switches beside the selector stand elsewhere than in their first positions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Setting {
    /// Labels of the switches and the positions they are in (`series`, `up`).
    pub switches: Vec<(String, String)>,
    /// Selector positions, from 1, that sound different, ascending; the others sound as with the switches down.
    pub positions: Vec<(u8, Sound)>,
    /// Knobs that do something else; the others do the same.
    pub knobs: Vec<KnobWish>,
    /// The line it starts on, 0 when it was not read from a file.
    #[serde(skip)]
    pub line: usize,
    /// The line of each of `positions`; empty for a table that was not read from a file.
    #[serde(skip)]
    pub lines: Vec<usize>,
}

/// What a knob does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KnobWish {
    /// The control's label.
    pub label: String,
    /// What it acts as.
    pub action: KnobAction,
    /// In which positions, from 1, ascending. In the others it does nothing.
    pub positions: Vec<u8>,
    /// The line it is written on, 0 when it was not read from a file.
    #[serde(skip)]
    pub line: usize,
}

/// What a knob acts as.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum KnobAction {
    /// Turns everything down.
    Volume,
    /// Turns the treble down.
    Tone,
    /// Feeds a pickup in under the others.
    Blend {
        /// The pickup.
        pickup: String,
    },
    /// Nothing.
    Nothing,
}

impl Sounds {
    /// Reads a sounds table. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, reader::read)
    }

    /// The sound wished for in a position (from 1) while the named switches stand in the named positions and the others in
    /// their first ones; none where two settings disagree, so that anything will do.
    pub fn sound(&self, position: u8, moved: &[(String, String)]) -> Option<&Sound> {
        let base = self.positions.get(usize::from(position).checked_sub(1)?)?;
        let found = |setting: &&Setting| setting.positions.iter().any(|(number, _)| *number == position);
        let of = |setting: &&'_ Setting| setting.positions.iter().position(|(number, _)| *number == position);
        let chosen = self.most_particular(moved, found);
        let mut sounds = chosen.iter().filter_map(|setting| of(setting).map(|at| &setting.positions[at].1));
        match sounds.next() {
            None => Some(base),
            Some(first) => sounds.all(|other| other.same_as(first)).then_some(first),
        }
    }

    /// What a knob is wished to do in a position, likewise.
    pub fn action(&self, label: &str, position: u8, moved: &[(String, String)]) -> Option<KnobAction> {
        let act = |wish: &KnobWish| wish.action_in(position);
        let of = |setting: &'_ Setting| setting.knobs.iter().find(|wish| wish.label == label).map(act);
        let chosen = self.most_particular(moved, |setting| of(setting).is_some());
        let mut actions = chosen.into_iter().filter_map(of);
        match actions.next() {
            None => self.knobs.iter().find(|wish| wish.label == label).map(act),
            Some(first) => actions.all(|other| other == first).then_some(first),
        }
    }

    /// Of the settings that hold where switches are moved and of which `wanted` is true, those that name most switches.
    fn most_particular(&self, moved: &[(String, String)], wanted: impl Fn(&&Setting) -> bool) -> Vec<&Setting> {
        let holds = |setting: &&Setting| setting.switches.iter().all(|switch| moved.contains(switch));
        let holding: Vec<&Setting> = self.settings.iter().filter(holds).filter(wanted).collect();
        let most = holding.iter().map(|setting| setting.switches.len()).max().unwrap_or(0);
        holding.into_iter().filter(|setting| setting.switches.len() == most).collect()
    }
}
