//! How much room a text needs, without knowing the face it will be set in.

use super::geometry::{Point, Rect, Text, TextRole};

/// Height of a line over the size of its letters.
const LINE: f64 = 1.2;

/// A text centred on a place, shrunk and at last shortened so that it is no wider than `width`, in millimetres.
pub(super) fn fitted(text: &str, middle: Point, width: f64, size: f64, role: TextRole) -> Text {
    const LEAST: f64 = 1.9;
    let wanted = measure(text) * size;
    let size = if wanted > width { (size * width / wanted).max(LEAST.min(size)) } else { size };
    let mut shown = text.to_string();
    while measure(&shown) * size > width + 1e-9 && shown.chars().count() > 1 {
        let kept = shown.chars().count().saturating_sub(if shown.ends_with('…') { 2 } else { 1 });
        shown = shown.chars().take(kept).chain(['…']).collect();
        if kept == 0 {
            break;
        }
    }
    let bounds = Rect::around(middle, measure(&shown) * size, LINE * size);
    Text { text: shown, bounds, size, role, joint: None }
}

/// As many words of a text as fit a width at a size; none when not even the first does.
pub(super) fn first_words(text: &str, middle: Point, width: f64, size: f64) -> Option<Text> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let some = (1..=words.len()).rev().map(|count| words[..count].join(" "));
    let fits = |text: &String| measure(text) * size <= width;
    let found = some.map(|text| text.trim_end_matches([',', ';']).to_string()).find(fits)?;
    Some(fitted(&found, middle, width, size, TextRole::Value))
}

/// Width of a text over the size of its letters: at least what ordinary sans-serif faces take.
pub(super) fn measure(text: &str) -> f64 {
    text.chars().map(advance).sum()
}

/// Advance widths over size of the widest of the usual faces (measured on three of them, rounded up).
fn advance(character: char) -> f64 {
    match character {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' => 0.34,
        ' ' | 'f' | 't' | 'r' | '-' | '(' | ')' | '/' => 0.42,
        'm' | 'w' => 0.98,
        'M' | 'W' | '…' | '%' | '+' | '=' => 1.0,
        'A'..='Z' => 0.80,
        character if character.is_ascii() => 0.65,
        character if (character as u32) < 0x2000 => 0.85,
        _ => 1.2,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_shrunk_and_then_shortened_until_it_fits() {
        for text in ["a", "middle-tone", &"long-name-".repeat(6), "WWWWWWWWWWWWWWWWW"] {
            let fitted = fitted(text, Point::default(), 12.0, 3.0, TextRole::Name);
            assert!(fitted.bounds.right - fitted.bounds.left <= 12.0 + 1e-9, "{text}");
            assert!(fitted.text == text || fitted.text.ends_with('…'));
        }
    }
}
