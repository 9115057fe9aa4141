//! Notes of equal temperament, A4 = 440 Hz (ISO 16).

/// Names of the twelve notes from C up, with sharps.
const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

/// Frequency, in hertz, of a note such as `E2`, `F#3` or `Bb1`; none where the text is no note.
pub fn note_hertz(name: &str) -> Option<f64> {
    let mut chars = name.chars();
    let letter = chars.next()?;
    let step = NAMES.iter().position(|name| name.len() == 1 && name.starts_with(letter))? as i32;
    let rest = chars.as_str();
    let (shift, octave) = match rest.chars().next()? {
        '#' => (1, &rest[1..]),
        'b' => (-1, &rest[1..]),
        _ => (0, rest),
    };
    let octave: i32 = octave.parse().ok().filter(|octave| (-1..=9).contains(octave))?;
    Some(440.0 * 2f64.powf(f64::from(12 * (octave - 4) + step + shift - 9) / 12.0))
}

/// The note nearest to a frequency in hertz, with its octave: `E2` for 82.4 Hz.
pub fn note_name(hertz: f64) -> String {
    let key = (69.0 + 12.0 * (hertz / 440.0).log2()).round() as i64;
    format!("{}{}", NAMES[key.rem_euclid(12) as usize], key.div_euclid(12) - 1)
}
