//! Which string at which fret each note is, and what that says of tuning and stiffness.

use super::listening::HeardNote;
use super::robust::{biweight, deviation, median};
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

/// How a recording was played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Played {
    /// As it was asked for: open strings and frets 5, 7 and 12, one note at a time.
    AsAsked,
    /// As music is.
    Freely,
}

/// A note to be named.
#[derive(Debug, Clone, Copy)]
pub struct Note<'a> {
    /// As it was heard.
    pub heard: &'a HeardNote,
    /// What its recording holds.
    pub played: Played,
    /// Whether it says nothing of the strings: its recording does not fit.
    pub left_out: bool,
}

/// A note's place, and how sure its string is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Name {
    /// The likeliest place.
    pub place: Place,
    /// How likely it is, 0 to 1.
    pub certainty: f64,
}

/// The frets that a pass is asked for.
pub const FRETS: [u8; 4] = [0, 5, 7, 12];
/// The highest fret that is thought of.
const HIGHEST: u8 = 19;
/// Standard deviations before anything was heard: of a string's tuning in cents, and of the logarithm of its stiffness.
const TUNING: f64 = 15.0;
const STIFFNESS: f64 = 0.3;
/// The same of a note on its string: how well a finger holds the pitch; what else moves stiffness.
const NOTE_TUNING: f64 = 4.0;
const NOTE_STIFFNESS: f64 = 0.05;
/// What a fret that was not asked for costs, as a natural logarithm of odds.
const UNASKED: f64 = 2.5;
/// In so many frets a fret becomes rarer by a factor e where nothing was asked for, as following has it.
const RARER: f64 = 12.0;
/// Logarithm of the likelihood of what is none of the guitar's notes, such as two at once that were taken for one: any pitch within a fret
/// (100 cents), any stiffness from a twentieth to twenty times the string's (6 nepers).
const NO_NOTE: f64 = -6.4;
/// Systematic standard deviations: of a pitch, in cents, because notes glide to it; of the logarithm of stiffness.
const GLIDE: f64 = 0.6;
/// The same of notes as short as music has them: a note begins up to 8 cents sharp and settles in 0.15 s (estimates, `string::Realism`).
const SHORT_GLIDE: f64 = 2.5;
const STIFFNESS_BIAS: f64 = 0.012;

/// One way to name all notes.
#[derive(Debug, Clone, PartialEq)]
pub struct Naming {
    /// One per note; none where no string can play it.
    pub names: Vec<Option<Name>>,
    /// What that means for each string.
    pub strings: Vec<StringFigures>,
    /// Logarithm of how likely it is, up to a constant.
    pub likelihood: f64,
}

/// Names every note, and says what that means for each string: in the likeliest way, and after it in others that are worth a thought.
///
/// The pitch leaves a few strings open; of those it is the one whose stiffness the partials show, B 2^(fret/6) at a fret (`design.md`,
/// "Naming the string"). Tuning and stiffness of the strings are found with it, by expectation and maximisation (Dempster, Laird and Rubin
/// 1977): how likely each string is for each note, and from that the figures, in turn. Where a document is far off, two strings may be
/// taken for each other; so the search starts from the document and from every string stiffer or less stiff than it says. Where frets were asked
/// for, others are less likely.
pub fn name(notes: &[Note<'_>], strings: &[StiffString]) -> Vec<Naming> {
    /// Ways that are less likely than this against the likeliest are not worth a thought (as a logarithm), and no more than so many are.
    const UNLIKELY: f64 = 15.0;
    const MOST: usize = 4;
    let candidates: Vec<Vec<Candidate>> = notes.iter().map(|note| all(note.heard, note.played, strings)).collect();
    let clear = notes.iter().zip(&candidates).filter(|(note, _)| note.heard.is_clear() && !note.left_out);
    let clear: Vec<&[Candidate]> = clear.map(|(_, of_note)| of_note.as_slice()).collect();
    let mut ends: Vec<(f64, Vec<StringFigures>)> = starts(strings.len()).map(|start| settled(&clear, start)).collect();
    ends.sort_by(|a, b| b.0.total_cmp(&a.0));
    let likeliest_of_all = ends[0].0;
    let places =
        |names: &[Option<Name>]| -> Vec<Option<Place>> { names.iter().map(|name| Some((*name)?.place)).collect() };
    let mut ways: Vec<Naming> = Vec::new();
    for (likelihood, figures) in ends.into_iter().take_while(|end| end.0 > likeliest_of_all - UNLIKELY) {
        let names: Vec<Option<Name>> = candidates.iter().map(|of_note| likeliest(of_note, &figures)).collect();
        if ways.len() < MOST && ways.iter().all(|way| places(&way.names) != places(&names)) {
            ways.push(Naming { names, strings: figures, likelihood });
        }
    }
    ways
}

/// The document's strings, as uncertain as they are; then every string a standard deviation stiffer, as stiff or less stiff than it says, in
/// all ways. Those are narrow, so that a string is not drawn to its neighbour's notes at once.
fn starts(strings: usize) -> impl Iterator<Item = Vec<StringFigures>> {
    const NARROW: f64 = 0.12;
    let at = |log: f64, sd: f64| StringFigures { cents: (0.0, TUNING), log_stiffness: (log, sd), notes: 0 };
    let shifted = move |mut which: usize| {
        let step = |_| {
            let steps = which % 3;
            which /= 3;
            at(STIFFNESS * (steps as f64 - 1.0), NARROW)
        };
        (0..strings).map(step).collect()
    };
    std::iter::once(vec![at(0.0, STIFFNESS); strings]).chain((0..3usize.pow(strings.min(8) as u32)).map(shifted))
}

/// A place where a note may have been played.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    place: Place,
    cents: f64,
    log_stiffness: f64,
    stiffness_sd: f64,
    glide: f64,
    foreign: f64,
    unlikely: f64,
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

fn all(note: &HeardNote, played: Played, strings: &[StiffString]) -> Vec<Candidate> {
    let of_string = |(index, string): (usize, &StiffString)| {
        let fret = (cents_above(note, string, 0) / 100.0).round();
        let fret = (0.0..=f64::from(HIGHEST)).contains(&fret).then_some(fret as u8)?;
        let unlikely = match played {
            Played::AsAsked if FRETS.contains(&fret) => 0.0,
            Played::AsAsked => UNASKED,
            Played::Freely => f64::from(fret) / RARER,
        };
        Some(Candidate {
            place: Place { string: index, fret },
            cents: cents_above(note, string, fret),
            log_stiffness: log_stiffness_above(note, string, fret),
            stiffness_sd: stiffness_sd(note),
            glide: if played == Played::Freely { SHORT_GLIDE } else { GLIDE },
            // Notes that were asked for are the guitar's; what is wrong with them the checks say.
            foreign: if played == Played::Freely { NO_NOTE } else { f64::MIN },
            unlikely,
        })
    };
    strings.iter().enumerate().filter_map(of_string).collect()
}

impl Candidate {
    /// Logarithm of the likelihood.
    fn likelihood(&self, figures: &[StringFigures]) -> f64 {
        let figures = &figures[self.place.string];
        let sds = [NOTE_TUNING.hypot(figures.cents.1), self.stiffness_sd.hypot(figures.log_stiffness.1)];
        let offs = [self.cents - figures.cents.0, self.log_stiffness - figures.log_stiffness.0];
        // Student's t with four degrees of freedom: one wrong number must not rule a string out.
        let heavy = |(off, sd): (f64, f64)| (0.375 / sd).ln() - 2.5 * (1.0 + (off / sd).powi(2) / 4.0).ln();
        offs.into_iter().zip(sds).map(heavy).sum::<f64>() - self.unlikely
    }
}

/// How likely each candidate is, and the logarithm of how likely they are together with its being no note of the guitar.
fn shares(of_note: &[Candidate], figures: &[StringFigures]) -> (Vec<f64>, f64) {
    let logs: Vec<f64> = of_note.iter().map(|candidate| candidate.likelihood(figures)).collect();
    let foreign = of_note.first().map_or(NO_NOTE, |candidate| candidate.foreign);
    let highest = logs.iter().copied().fold(foreign, f64::max);
    let sum: f64 = (foreign - highest).exp() + logs.iter().map(|log| (log - highest).exp()).sum::<f64>();
    (logs.iter().map(|log| (log - highest).exp() / sum).collect(), highest + sum.ln())
}

/// None where it is likelier to be no note of the guitar.
fn likeliest(of_note: &[Candidate], figures: &[StringFigures]) -> Option<Name> {
    let (shares, _) = shares(of_note, figures);
    if shares.iter().sum::<f64>() < 0.5 {
        return None;
    }
    let (best, certainty) = shares.into_iter().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Name { place: of_note[best].place, certainty })
}

/// Where a start leads to, with the logarithm of how likely that is.
fn settled(candidates: &[&[Candidate]], start: Vec<StringFigures>) -> (f64, Vec<StringFigures>) {
    const ROUNDS: usize = 30;
    const SETTLED: f64 = 1e-3;
    let (mut figures, mut likelihood) = (start, f64::MIN);
    for _ in 0..ROUNDS {
        let mut of_strings = vec![Vec::new(); figures.len()];
        let mut sum = 0.0;
        for of_note in candidates {
            let (shares, log) = shares(of_note, &figures);
            sum += log;
            for (candidate, share) in of_note.iter().zip(shares) {
                of_strings[candidate.place.string].push((*candidate, share));
            }
        }
        let prior = |figures: &StringFigures| {
            -0.5 * ((figures.cents.0 / TUNING).powi(2) + (figures.log_stiffness.0 / STIFFNESS).powi(2))
        };
        sum += figures.iter().map(prior).sum::<f64>();
        let done = (sum - likelihood).abs() < SETTLED;
        likelihood = sum;
        if done {
            break;
        }
        figures = of_strings.iter().map(|own| of_string(own)).collect();
    }
    (likelihood, figures)
}

/// What candidates say of their string, each as far as it is likely.
fn of_string(own: &[(Candidate, f64)]) -> StringFigures {
    let cents = own.iter().map(|(candidate, share)| (candidate.cents, NOTE_TUNING, *share));
    let stiffness = own.iter().map(|(candidate, share)| (candidate.log_stiffness, candidate.stiffness_sd, *share));
    let (mean, sd) = robust_mean(cents.collect(), TUNING);
    let (log, log_sd) = robust_mean(stiffness.collect(), STIFFNESS);
    let notes = own.iter().filter(|(_, share)| *share > 0.5).count();
    let glide = own.iter().map(|(candidate, _)| candidate.glide).fold(GLIDE, f64::max);
    let systematic = |sd: f64, own_sd: f64| if notes == 0 { own_sd } else { own_sd.hypot(sd) };
    StringFigures {
        cents: (mean, systematic(glide, sd)),
        log_stiffness: (log, systematic(STIFFNESS_BIAS, log_sd)),
        notes,
    }
}

/// Mean of values with standard deviations and shares, towards 0 by a prior one, far values losing their weight; and its standard deviation.
fn robust_mean(values: Vec<(f64, f64, f64)>, prior: f64) -> (f64, f64) {
    let likely: Vec<(f64, f64)> =
        values.iter().filter(|value| value.2 > 0.5).map(|&(value, sd, _)| (value, sd)).collect();
    let mut mean = median(&likely.iter().map(|value| value.0).collect::<Vec<_>>());
    let mut sd = prior;
    for _ in 0..10 {
        let residuals: Vec<f64> = likely.iter().map(|&(value, sd)| (value - mean) / sd).collect();
        // As wide as they say, or as they are.
        let scale = if likely.len() > 2 { deviation(&residuals).max(0.7) } else { 1.0 };
        let (mut sum, mut weights) = (0.0, prior.powi(-2));
        for &(value, sd, share) in &values {
            let weight = share * biweight((value - mean) / sd / scale) / (sd * scale).powi(2);
            sum += weight * value;
            weights += weight;
        }
        (mean, sd) = (sum / weights, weights.powf(-0.5));
    }
    (mean, sd)
}
