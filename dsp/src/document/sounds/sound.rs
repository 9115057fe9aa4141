//! A sound in the trade's words: `bridge + reversed middle`, `neck in series with bridge`.

use std::collections::VecDeque;
use std::fmt;

use serde::Serialize;

use crate::document::problem::shortened;

/// What is on in a position: groups in parallel, each a chain of pickups in series. Nothing at all is silence.
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

impl Sound {
    /// How silence is written.
    const SILENT: &str = "silent";

    /// Reads `bridge + reversed middle` (in parallel), `bridge in series with neck` or `silent`.
    ///
    /// # Errors
    /// The column (from 1) and what is wrong there.
    pub fn parse(text: &str) -> Result<Self, (usize, String)> {
        if text.trim() == Self::SILENT {
            return Ok(Self { parallel: Vec::new() });
        }
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

    /// Whether both sound the same: the order in which pickups are named does not matter.
    pub fn same_as(&self, other: &Self) -> bool {
        self.sorted() == other.sorted()
    }

    fn sorted(&self) -> Vec<Vec<Voice>> {
        let sorted = |chain: &Vec<Voice>| {
            let mut chain = chain.clone();
            chain.sort();
            chain
        };
        let mut chains: Vec<Vec<Voice>> = self.parallel.iter().map(sorted).collect();
        chains.sort();
        chains
    }
}

impl fmt::Display for Sound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let chain =
            |voices: &Vec<Voice>| voices.iter().map(Voice::to_string).collect::<Vec<_>>().join(" in series with ");
        match &self.parallel[..] {
            [] => f.write_str(Self::SILENT),
            chains => f.write_str(&chains.iter().map(chain).collect::<Vec<_>>().join(" + ")),
        }
    }
}

impl fmt::Display for Voice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", if self.reversed { "reversed " } else { "" }, self.pickup)
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
