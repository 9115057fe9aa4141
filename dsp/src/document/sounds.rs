//! Sounds tables: the wish, before any wiring.

use std::collections::VecDeque;

use serde::Serialize;

use super::limits;
use super::problem::{ProblemKind, Problems, shortened};
use super::reader::Reader;
use super::section::Section;

/// One sound per selector position, and what each knob does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sounds {
    /// What it is called.
    pub title: String,
    /// What it is for, for people.
    pub about: String,
    /// From position 1.
    pub positions: Vec<Sound>,
    /// In the order in which they are written.
    pub knobs: Vec<KnobWish>,
}

/// What is on in a position: groups in parallel, each a chain of pickups in series.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Sound {
    /// Chains that are joined in parallel.
    pub parallel: Vec<Vec<Voice>>,
}

/// One pickup in a sound.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Voice {
    /// The pickup's name.
    pub pickup: String,
    /// Whether its leads are swapped.
    pub reversed: bool,
}

/// What a knob does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KnobWish {
    /// The control's label.
    pub label: String,
    /// What it acts as.
    pub action: KnobAction,
    /// In which positions, from 1, ascending.
    pub positions: Vec<u8>,
}

/// What a knob acts as.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
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
}

impl Sounds {
    /// Reads a sounds table. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, |top| {
            let title = top.text("title");
            let about = top.optional_text("about");
            let positions = read_positions(top);
            let knobs = read_knobs(top);
            Some(Self {
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                positions,
                knobs,
            })
        })
    }
}

impl Sound {
    /// Reads `bridge + reversed middle` (in parallel) or `bridge in series with neck`.
    ///
    /// # Errors
    /// The column (from 1) and what is wrong there.
    pub fn parse(text: &str) -> Result<Self, (usize, String)> {
        let mut words = Words::of(text);
        let mut seen: Vec<String> = Vec::new();
        let mut parallel = Vec::new();
        loop {
            let mut chain = vec![words.voice(&mut seen)?];
            while words.take("in") {
                words.expect("series")?;
                words.expect("with")?;
                chain.push(words.voice(&mut seen)?);
            }
            parallel.push(chain);
            if !words.take("+") {
                break;
            }
        }
        match words.next() {
            Some((column, word)) => Err((column, format!("`{}` is not expected here", shortened(&word)))),
            None => Ok(Self { parallel }),
        }
    }

    /// Every pickup that sounds.
    pub fn voices(&self) -> impl Iterator<Item = &Voice> {
        self.parallel.iter().flatten()
    }
}

/// The words of a sound, each with its column; a `+` is a word of its own.
struct Words {
    words: VecDeque<(usize, String)>,
    end: usize,
}

impl Words {
    fn of(text: &str) -> Self {
        let mut words: VecDeque<(usize, String)> = VecDeque::new();
        let mut inside = false;
        let mut end = 1;
        for (i, character) in text.chars().enumerate() {
            match words.back_mut().filter(|_| inside && character != '+') {
                Some((_, word)) if !character.is_whitespace() => word.push(character),
                _ if character.is_whitespace() => {}
                _ => words.push_back((i + 1, character.to_string())),
            }
            inside = !character.is_whitespace() && character != '+';
            end = if character.is_whitespace() { end } else { i + 2 };
        }
        Self { words, end }
    }

    fn next(&mut self) -> Option<(usize, String)> {
        self.words.pop_front()
    }

    /// Takes the next word if it is `wanted`.
    fn take(&mut self, wanted: &str) -> bool {
        let there = self.words.front().is_some_and(|(_, word)| word == wanted);
        if there {
            self.words.pop_front();
        }
        there
    }

    fn expect(&mut self, wanted: &str) -> Result<(), (usize, String)> {
        if self.take(wanted) {
            return Ok(());
        }
        let column = self.words.front().map_or(self.end, |&(column, _)| column);
        Err((column, format!("`{wanted}` is missing (`in series with`)")))
    }

    fn voice(&mut self, seen: &mut Vec<String>) -> Result<Voice, (usize, String)> {
        let reversed = self.take("reversed");
        let (column, pickup) = match self.words.front() {
            Some((column, word)) if ["+", "in", "reversed"].contains(&word.as_str()) => {
                return Err((*column, format!("a pickup is missing before `{word}`")));
            }
            Some(_) => self.next().unwrap_or_default(),
            None => return Err((self.end, "a pickup is missing".into())),
        };
        if seen.contains(&pickup) {
            return Err((column, format!("`{}` sounds twice", shortened(&pickup))));
        }
        seen.push(pickup.clone());
        Ok(Voice { pickup, reversed })
    }
}

fn read_positions(top: &Section<'_, '_>) -> Vec<Sound> {
    if top.lacks("positions") {
        let mend = "add a table under a heading [positions], with a line such as 1 = \"bridge\" for each";
        top.error(ProblemKind::MissingKey, top.line_of_key("positions"), "the table has no positions", mend);
    }
    let mut sounds = Vec::new();
    for (i, (number, value)) in top.entries("positions", limits::POSITIONS).into_iter().enumerate() {
        let line = top.line_of(value);
        if number != (i + 1).to_string() {
            let what = format!("position `{}` stands where position {} belongs", shortened(&number), i + 1);
            top.error(ProblemKind::OutOfRange, line, what, "number the positions 1, 2, 3 .. in order");
        }
        let Some(text) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&number, value, "a sound such as \"bridge + middle\"");
            continue;
        };
        match Sound::parse(text) {
            Ok(sound) => sounds.push(sound),
            Err((column, what)) => {
                let mend = "write pickups joined by `+` (in parallel) or `in series with`, each perhaps `reversed`";
                let what = format!("at character {column} of \"{}\": {what}", shortened(text));
                top.error(ProblemKind::BadSound, line, what, mend);
            }
        }
    }
    sounds
}

fn read_knobs(top: &Section<'_, '_>) -> Vec<KnobWish> {
    let positions = top.entries("positions", limits::POSITIONS).len();
    let mut wishes = Vec::new();
    for (label, value) in top.entries("knobs", limits::NAME) {
        let line = top.line_of(value);
        top.check_label("a knob's label", &label, line);
        let Some(text) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&label, value, "what it does, such as \"blend neck in 1 2\"");
            continue;
        };
        match parse_wish(&label, text, positions) {
            Ok(wish) => wishes.push(wish),
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
        _ => {
            let mend = "write `volume`, `tone` or `blend PICKUP`, perhaps with positions behind it such as `in 1 2`";
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
    Ok(KnobWish { label: label.into(), action, positions })
}
