//! A text cut into words, each with its place.

use std::collections::VecDeque;

/// Words with their columns, from 1; signs are words of their own.
pub(super) struct Words {
    words: VecDeque<(usize, String)>,
    end: usize,
}

/// What is a word by itself wherever it stands.
const SIGNS: [char; 4] = ['+', '(', ')', ','];

impl Words {
    /// The words of a text.
    pub fn of(text: &str) -> Self {
        let mut words: VecDeque<(usize, String)> = VecDeque::new();
        let mut inside = false;
        let mut end = 1;
        for (i, character) in text.chars().enumerate() {
            let sign = SIGNS.contains(&character);
            match words.back_mut().filter(|_| inside && !sign) {
                Some((_, word)) if !character.is_whitespace() => word.push(character),
                _ if character.is_whitespace() => {}
                _ => words.push_back((i + 1, character.to_string())),
            }
            inside = !character.is_whitespace() && !sign;
            end = if character.is_whitespace() { end } else { i + 2 };
        }
        Self { words, end }
    }

    /// The next word.
    pub fn next(&mut self) -> Option<(usize, String)> {
        self.words.pop_front()
    }

    /// Takes the next word if it is `wanted`.
    pub fn take(&mut self, wanted: &str) -> bool {
        let there = self.words.front().is_some_and(|(_, word)| word == wanted);
        if there {
            self.words.pop_front();
        }
        there
    }

    /// Takes the next word, which has to be `wanted`, a part of `phrase`.
    ///
    /// # Errors
    /// Where it is missing.
    pub fn expect(&mut self, wanted: &str, phrase: &str) -> Result<(), (usize, String)> {
        if self.take(wanted) { Ok(()) } else { Err((self.column(), format!("`{wanted}` is missing (`{phrase}`)"))) }
    }

    /// Where the next word stands, or where the text ends.
    pub fn column(&self) -> usize {
        self.words.front().map_or(self.end, |&(column, _)| column)
    }

    /// Where the text ends: behind its last word.
    pub fn end(&self) -> usize {
        self.end
    }
}
