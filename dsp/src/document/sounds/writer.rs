//! A sounds table as the text of a document.

use std::fmt::{self, Write as _};

use super::{KnobAction, KnobWish, Setting, Sounds};
use crate::document::spelling::{key, quoted};

impl Sounds {
    /// The table as the text of a document; [`Sounds::read`] makes the same table of it.
    pub fn to_text(&self) -> String {
        let mut text = format!("format = 1\ntitle = {}\n", quoted(&self.title));
        if !self.about.is_empty() {
            let _ = writeln!(text, "about = {}", quoted(&self.about));
        }
        text.push_str("\n[positions]\n");
        for (number, sound) in (1..).zip(&self.positions) {
            let _ = writeln!(text, "{number} = {}", quoted(&sound.to_string()));
        }
        self.write_knobs(&mut text, "knobs", &self.knobs);
        for setting in &self.settings {
            self.write_setting(&mut text, setting);
        }
        text
    }

    fn write_knobs(&self, text: &mut String, heading: &str, knobs: &[KnobWish]) {
        if !knobs.is_empty() {
            let _ = writeln!(text, "\n[{heading}]");
        }
        for wish in knobs {
            let _ = writeln!(text, "{} = {}", key(&wish.label), quoted(&wish.does(self.positions.len())));
        }
    }

    fn write_setting(&self, text: &mut String, setting: &Setting) {
        let mut heading = String::from("switches");
        for (label, position) in &setting.switches {
            let _ = write!(heading, ".{}.{}", key(label), key(position));
        }
        let _ = writeln!(text, "\n[{heading}]");
        for (number, sound) in &setting.positions {
            let _ = writeln!(text, "{number} = {}", quoted(&sound.to_string()));
        }
        self.write_knobs(text, &format!("{heading}.knobs"), &setting.knobs);
    }
}

impl KnobWish {
    /// What it acts as in a position, from 1.
    pub fn action_in(&self, position: u8) -> KnobAction {
        if self.positions.contains(&position) { self.action.clone() } else { KnobAction::Nothing }
    }

    /// What it does in the words of a table of so many positions: `tone`, `blend neck in 1 2`.
    pub fn does(&self, positions: usize) -> String {
        let mut words = self.action.to_string();
        if self.positions.len() < positions && self.action != KnobAction::Nothing {
            words.push_str(" in");
            self.positions.iter().for_each(|number| words.push_str(&format!(" {number}")));
        }
        words
    }
}

impl fmt::Display for KnobAction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Volume => f.write_str("volume"),
            Self::Tone => f.write_str("tone"),
            Self::Blend { pickup } => write!(f, "blend {pickup}"),
            Self::Nothing => f.write_str("nothing"),
        }
    }
}
