//! Which strings and frets are heard.

use dryfit_dsp::document::GuitarString;
use dryfit_dsp::following::MOST_STRINGS;
use dryfit_dsp::units::note_name;

use super::Measured;
use crate::app::App;
use crate::editor::{HeardNote, HeardString, HeardView};
use crate::taps::HeardFret;

/// A string that is as certain as this is said without a question mark. On the eight takes of which the truth is known it is right in
/// at least 86 of 100 looks, a less certain one in 59.
const SURE: f32 = 0.9;

/// What is heard of the guitar that was compiled, if notes are followed.
pub(super) fn heard(app: &App, measured: Option<&Measured>) -> HeardView {
    let Some(measured) = measured.filter(|_| app.parameters.note_following.value()) else { return HeardView::Off };
    if !measured.benches.iter().any(|bench| bench.follows) {
        return HeardView::Resting("nothing is estimated here: no note needs to be followed".into());
    }
    let strings = &measured.analysis.recorded.guitar.strings;
    if strings.len() > MOST_STRINGS {
        return HeardView::Resting(format!("strings are named on guitars with up to {MOST_STRINGS} of them"));
    }
    let numbers = (1..=strings.len()).rev();
    let heard = numbers.zip(strings).zip(app.taps.notes());
    HeardView::Strings(heard.map(|((number, string), heard)| of_string(number, string, heard)).collect())
}

/// A string, counted from the highest as players do, and what is heard of it.
fn of_string(number: usize, string: &GuitarString, heard: Option<HeardFret>) -> HeardString {
    let open = note_name(string.pitch);
    let note = heard.map(|HeardFret { fret, certainty }| HeardNote {
        fret: fret.to_string(),
        pitch: note_name(string.pitch * (f64::from(fret) / 12.0).exp2()),
        sure: certainty >= SURE,
    });
    let said = match &note {
        None => "silent".into(),
        Some(HeardNote { fret, pitch, sure }) => {
            let place = if fret == "0" { "open".into() } else { format!("fret {fret}, {pitch}") };
            if *sure { place } else { format!("perhaps {place}") }
        }
    };
    let letter = open.trim_end_matches(|c: char| c == '-' || c.is_ascii_digit());
    HeardString { name: format!("{number} {letter}"), words: format!("string {number}, {open}: {said}"), note }
}
