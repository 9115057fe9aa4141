//! Which string at which fret each note is, and what that says of tuning and stiffness.

use super::listening::HeardNote;
use super::robust::{biweight, deviation};
use crate::string::StiffString;

/// A note with the place it was played at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The string, 0 for the lowest.
    pub string: usize,
    /// The fret, 0 for the open string.
    pub fret: u8,
}

/// What the notes say of one string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StringFigures {
    /// How far it sounds above its documented pitch, in cents, and the standard deviation of that.
    pub cents: (f64, f64),
    /// Natural logarithm of its stiffness B over the documented one, and the standard deviation of that.
    pub log_stiffness: (f64, f64),
    /// Notes that it was found from.
    pub notes: usize,
}

/// The frets that a pass is asked for.
pub const FRETS: [u8; 4] = [0, 5, 7, 12];
/// The highest fret that is thought of.
const HIGHEST: u8 = 19;
/// How far a string may be out of tune before its notes belong to other frets, in cents.
const REACH: f64 = 55.0;
/// Standard deviations before anything was heard: of a string's tuning in cents, and of the logarithm of its stiffness.
const TUNING: f64 = 15.0;
const STIFFNESS: f64 = 0.3;
/// The same of a note on its string: how well a finger holds the pitch; what else moves stiffness.
const NOTE_TUNING: f64 = 4.0;
const NOTE_STIFFNESS: f64 = 0.05;
/// What a fret that was not asked for costs, as a natural logarithm of odds.
const UNASKED: f64 = 2.5;
/// Systematic standard deviations: of a pitch, in cents, because notes glide to it; of the logarithm of stiffness.
const GLIDE: f64 = 0.6;
const STIFFNESS_BIAS: f64 = 0.012;

/// Names every note, none where no string can play it, and says what that means for each string.
///
/// The pitch leaves a few strings open; of those it is the one whose stiffness the partials show, B 2^(fret/6) at a fret (`design.md`,
/// "Naming the string"). Tuning and stiffness of the strings are found with it: names and figures in turn, as the figures become
/// narrower. Frets that were asked for are more likely than others.
pub fn name(notes: &[&HeardNote], strings: &[StiffString]) -> (Vec<Option<Place>>, Vec<StringFigures>) {
    let unknown = StringFigures { cents: (0.0, TUNING), log_stiffness: (0.0, STIFFNESS), notes: 0 };
    let mut figures = vec![unknown; strings.len()];
    let mut names = Vec::new();
    for _ in 0..12 {
        let new: Vec<Option<Place>> = notes.iter().map(|note| best(note, strings, &figures)).collect();
        let settled = new == names;
        names = new;
        figures = (0..strings.len()).map(|string| of_string(string, notes, &names, strings)).collect();
        if settled {
            break;
        }
    }
    (names, figures)
}

/// Cents of a note above a string's fret as documented.
pub(super) fn cents_above(note: &HeardNote, string: &StiffString, fret: u8) -> f64 {
    1200.0 * (note.fundamental / string.fretted(f64::from(fret)).fundamental).log2()
}

pub(super) fn log_stiffness_above(note: &HeardNote, string: &StiffString, fret: u8) -> f64 {
    (note.inharmonicity.0.max(1e-7) / string.fretted(f64::from(fret)).inharmonicity).ln()
}

/// Standard deviation of the logarithm of a note's stiffness.
pub(super) fn stiffness_sd(note: &HeardNote) -> f64 {
    (note.inharmonicity.1 / note.inharmonicity.0.max(1e-7)).hypot(NOTE_STIFFNESS)
}

fn best(note: &HeardNote, strings: &[StiffString], figures: &[StringFigures]) -> Option<Place> {
    let mut best: Option<(f64, Place)> = None;
    for (index, (string, figures)) in strings.iter().zip(figures).enumerate() {
        let semitones = cents_above(note, string, 0) - figures.cents.0;
        let fret = (semitones / 100.0).round();
        if !(0.0..=f64::from(HIGHEST)).contains(&fret) || (semitones - 100.0 * fret).abs() > REACH {
            continue;
        }
        let fret = fret as u8;
        let off_pitch = (semitones - 100.0 * f64::from(fret)) / NOTE_TUNING.hypot(figures.cents.1);
        let sd = stiffness_sd(note).hypot(figures.log_stiffness.1);
        let off_stiffness = (log_stiffness_above(note, string, fret) - figures.log_stiffness.0) / sd;
        let unasked = if FRETS.contains(&fret) { 0.0 } else { UNASKED };
        // A heavy tail: one wrong number must not rule a string out.
        let heavy = |off: f64| 2.5 * (1.0 + off * off / 4.0).ln();
        let cost = heavy(off_pitch) + heavy(off_stiffness) + sd.ln() + unasked;
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, Place { string: index, fret }));
        }
    }
    best.map(|(_, place)| place)
}

fn of_string(index: usize, notes: &[&HeardNote], names: &[Option<Place>], strings: &[StiffString]) -> StringFigures {
    let string = &strings[index];
    let own =
        notes.iter().zip(names).filter_map(|(note, name)| name.filter(|name| name.string == index).map(|p| (note, p)));
    let own: Vec<_> = own.collect();
    let cents = own.iter().map(|(note, place)| (cents_above(note, string, place.fret), NOTE_TUNING));
    let stiffness = own.iter().map(|(note, place)| (log_stiffness_above(note, string, place.fret), stiffness_sd(note)));
    let (mean, sd) = robust_mean(cents.collect(), TUNING);
    let (log, log_sd) = robust_mean(stiffness.collect(), STIFFNESS);
    let systematic = |sd: f64, own_sd: f64| if own.is_empty() { own_sd } else { own_sd.hypot(sd) };
    StringFigures {
        cents: (mean, systematic(GLIDE, sd)),
        log_stiffness: (log, systematic(STIFFNESS_BIAS, log_sd)),
        notes: own.len(),
    }
}

/// Mean of values with standard deviations, towards 0 by a prior one, far values losing their weight; and its standard deviation.
fn robust_mean(values: Vec<(f64, f64)>, prior: f64) -> (f64, f64) {
    let mut mean = super::robust::median(&values.iter().map(|value| value.0).collect::<Vec<_>>());
    let mut sd = prior;
    for _ in 0..10 {
        let residuals: Vec<f64> = values.iter().map(|&(value, sd)| (value - mean) / sd).collect();
        // As wide as they say, or as they are.
        let scale = if values.len() > 2 { deviation(&residuals).max(0.7) } else { 1.0 };
        let (mut sum, mut weights) = (0.0, prior.powi(-2));
        for (&(value, sd), residual) in values.iter().zip(&residuals) {
            let weight = biweight(residual / scale) / (sd * scale).powi(2);
            sum += weight * value;
            weights += weight;
        }
        (mean, sd) = (sum / weights, weights.powf(-0.5));
    }
    (mean, sd)
}
