//! Sounds tables: the wish, before any wiring.

use serde::Serialize;

use super::problem::{ProblemKind, Problems};
use super::reader::{Reader, Section};

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
            let knobs = read_knobs(top, positions.len());
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
        let mut parallel = Vec::new();
        let mut column = 1;
        for group in text.split('+') {
            let mut chain = Vec::new();
            let mut inner = column;
            for voice in group.split(" in series with ") {
                chain.push(parse_voice(voice, inner)?);
                inner += voice.chars().count() + " in series with ".len();
            }
            parallel.push(chain);
            column += group.chars().count() + 1;
        }
        let mut seen: Vec<&str> = Vec::new();
        for voice in parallel.iter().flatten() {
            if seen.contains(&voice.pickup.as_str()) {
                return Err((1, format!("`{}` sounds twice", voice.pickup)));
            }
            seen.push(&voice.pickup);
        }
        Ok(Self { parallel })
    }

    /// Every pickup that sounds.
    pub fn voices(&self) -> impl Iterator<Item = &Voice> {
        self.parallel.iter().flatten()
    }
}

fn parse_voice(text: &str, column: usize) -> Result<Voice, (usize, String)> {
    let column = column + text.chars().take_while(|c| c.is_whitespace()).count();
    let words: Vec<_> = text.split_whitespace().collect();
    match words[..] {
        ["reversed", pickup] => Ok(Voice { pickup: pickup.into(), reversed: true }),
        [pickup] if pickup != "reversed" => Ok(Voice { pickup: pickup.into(), reversed: false }),
        [] => Err((column, "a pickup is missing".into())),
        _ => Err((column, format!("`{}` is no pickup", text.trim()))),
    }
}

fn read_positions(top: &Section<'_, '_>) -> Vec<Sound> {
    let mut sounds = Vec::new();
    for (i, (number, value)) in top.entries("positions").into_iter().enumerate() {
        if number != (i + 1).to_string() {
            let mend = "number the positions 1, 2, 3 .. in order";
            top.error(
                ProblemKind::OutOfRange,
                top.line_of(value),
                format!("position {number} stands in place {}", i + 1),
                mend,
            );
        }
        let Some(text) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&number, value, "a sound such as \"bridge + middle\"");
            continue;
        };
        match Sound::parse(text) {
            Ok(sound) => sounds.push(sound),
            Err((column, what)) => {
                let mend = "write pickups joined by `+` (in parallel) or `in series with`, each perhaps `reversed`";
                top.error(
                    ProblemKind::BadSound,
                    top.line_of(value),
                    format!("at character {column} of \"{text}\": {what}"),
                    mend,
                );
            }
        }
    }
    if sounds.is_empty() {
        top.error(ProblemKind::MissingKey, top.line(), "the table has no positions", "add a [positions] table");
    }
    sounds
}

fn read_knobs(top: &Section<'_, '_>, positions: usize) -> Vec<KnobWish> {
    let mut wishes = Vec::new();
    for (label, value) in top.entries("knobs") {
        let Some(text) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&label, value, "what it does, such as \"blend neck in 1 2\"");
            continue;
        };
        match parse_wish(&label, text, positions) {
            Some(wish) => wishes.push(wish),
            None => {
                let mend = "write `volume`, `tone` or `blend PICKUP`, perhaps followed by `in` and position numbers";
                top.error(
                    ProblemKind::BadSound,
                    top.line_of(value),
                    format!("\"{text}\" is nothing a knob does"),
                    mend,
                );
            }
        }
    }
    wishes
}

fn parse_wish(label: &str, text: &str, positions: usize) -> Option<KnobWish> {
    let (action, places) = match text.split_once(" in ") {
        Some((action, places)) => (action, Some(places)),
        None => (text, None),
    };
    let action = match action.split_whitespace().collect::<Vec<_>>()[..] {
        ["volume"] => KnobAction::Volume,
        ["tone"] => KnobAction::Tone,
        ["blend", pickup] => KnobAction::Blend { pickup: pickup.into() },
        _ => return None,
    };
    let positions = match places {
        None => (1..=u8::try_from(positions).ok()?).collect(),
        Some(places) => {
            let numbers: Vec<u8> = places.split_whitespace().map(|word| word.parse().ok()).collect::<Option<_>>()?;
            let known = numbers.iter().all(|&number| number >= 1 && usize::from(number) <= positions);
            (known && !numbers.is_empty()).then_some(numbers)?
        }
    };
    Some(KnobWish { label: label.into(), action, positions })
}
