//! A sound in the trade's words: `bridge + reversed middle`, `(neck + middle) in series with bridge`.

use std::fmt;

use serde::Serialize;

use super::mix::Mix;
use super::words::Words;
use crate::document::problem::shortened;

/// What is on in a position.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Sound {
    /// The pickups by their names; none for silence.
    pub mix: Option<Mix<String>>,
}

impl Sound {
    /// How silence is written.
    const SILENT: &str = "silent";

    /// Reads `bridge + reversed middle` (in parallel), `bridge in series with neck`, `(neck + middle) in series with bridge` or
    /// `silent`. Without brackets, what is in series goes before what is in parallel.
    ///
    /// # Errors
    /// The column (from 1) and what is wrong there.
    pub fn parse(text: &str) -> Result<Self, (usize, String)> {
        if text.trim() == Self::SILENT {
            return Ok(Self { mix: None });
        }
        let mut parser = Parser { words: Words::of(text), seen: Vec::new(), depth: 0 };
        let mix = parser.parallel()?;
        match parser.words.next() {
            Some((column, word)) if word == ")" => Err((column, "there is no bracket that `)` closes".into())),
            Some((column, word)) if word == "(" => {
                Err((column, "`+` or `in series with` is missing before `(`".into()))
            }
            Some((column, word)) => Err((column, format!("`{}` is not expected here", shortened(&word)))),
            None => Ok(Self { mix: Some(mix) }),
        }
    }

    /// Every pickup that sounds, and whether it is reversed.
    pub fn voices(&self) -> Vec<(&str, bool)> {
        let voices = self.mix.iter().flat_map(Mix::voices);
        voices.map(|(pickup, reversed)| (pickup.as_str(), reversed)).collect()
    }

    /// Whether nothing sounds.
    pub fn is_silent(&self) -> bool {
        self.mix.is_none()
    }

    /// Whether both sound the same: the order in which pickups are named does not matter.
    pub fn same_as(&self, other: &Self) -> bool {
        let sorted = |sound: &Self| sound.mix.clone().map(Mix::sorted);
        sorted(self) == sorted(other)
    }
}

impl fmt::Display for Sound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.mix {
            Some(mix) => f.write_str(&mix.words(&String::clone)),
            None => f.write_str(Self::SILENT),
        }
    }
}

/// Brackets within brackets that are read.
const DEEPEST: usize = 8;

type Parsed = Result<Mix<String>, (usize, String)>;

struct Parser {
    words: Words,
    seen: Vec<String>,
    /// Brackets that are open.
    depth: usize,
}

impl Parser {
    fn parallel(&mut self) -> Parsed {
        let mut mix = self.series()?;
        while self.words.take("+") {
            mix = mix.beside(self.series()?);
        }
        Ok(mix)
    }

    fn series(&mut self) -> Parsed {
        let mut mix = self.item()?;
        while self.words.take("in") {
            self.words.expect("series", "in series with")?;
            self.words.expect("with", "in series with")?;
            mix = mix.then(self.item()?);
        }
        Ok(mix)
    }

    fn item(&mut self) -> Parsed {
        let reversed = self.words.take("reversed");
        let mix = match self.words.next() {
            Some((column, word)) if word == "(" => self.bracket(column)?,
            Some((column, word)) if ["+", "in", "reversed", ")"].contains(&word.as_str()) => {
                return Err((column, format!("a pickup is missing before `{word}`")));
            }
            Some((column, word)) if word == Sound::SILENT => {
                return Err((column, format!("`{word}` stands alone or not at all")));
            }
            Some((column, pickup)) if self.seen.contains(&pickup) => {
                return Err((column, format!("`{}` sounds twice", shortened(&pickup))));
            }
            Some((_, pickup)) => {
                self.seen.push(pickup.clone());
                Mix::Pickup { pickup, reversed: false }
            }
            None => return Err((self.words.end(), "a pickup is missing".into())),
        };
        Ok(if reversed { mix.turned() } else { mix })
    }

    fn bracket(&mut self, column: usize) -> Parsed {
        if self.depth == DEEPEST {
            return Err((column, format!("brackets within brackets are read {DEEPEST} deep")));
        }
        self.depth += 1;
        let mix = self.parallel()?;
        if !self.words.take(")") {
            let here = self.words.column();
            return Err((here, format!("`)` is missing for the bracket at character {column}")));
        }
        self.depth -= 1;
        Ok(mix)
    }
}
