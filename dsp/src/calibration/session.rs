//! A session: several passes on one guitar, fitted together.

use num_complex::Complex64;

use super::checks::{self, Complaint};
use super::combs::{Comb, combs};
use super::figures::{Calibrated, figures};
use super::fitting::{self, Datum, Fit, Known, Layout, Task};
use super::listening::{Heard, HeardNote, listen, listen_freely};
use super::naming::{Name, Naming, Note, Place, Played, StringFigures, name};
use crate::circuit::{Grid, Responses};
use crate::document::Guitar;
use crate::string::StiffString;

/// What is recorded, and with what.
#[derive(Debug, Clone)]
pub struct Session<'a> {
    /// The guitar as its document describes it so far.
    pub guitar: &'a Guitar,
    /// How well the place of each pickup is known already.
    pub known: Vec<Known>,
    /// The positions of the selector as the recorded circuit has them.
    pub positions: Vec<Position>,
    /// The grid that their responses are on.
    pub grid: Grid,
    /// The recordings.
    pub passes: Vec<Pass<'a>>,
}

/// A position of the selector.
#[derive(Debug, Clone)]
pub struct Position {
    /// For people: `position 1 (bridge)`.
    pub name: String,
    /// One response per pickup at the jack.
    pub responses: Responses,
}

/// One recording.
#[derive(Debug, Clone)]
pub struct Pass<'a> {
    /// For people: the file, or what it was called.
    pub name: String,
    /// Which of the positions.
    pub position: usize,
    /// The recording, in full scale 1.
    pub samples: &'a [f32],
    /// In hertz.
    pub sample_rate: f64,
    /// Whether it holds what was asked for.
    pub played: Played,
}

/// A pass as it was heard.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeardPass {
    pub(super) heard: Heard,
    /// Where each note was played; none where no string can have.
    pub(super) names: Vec<Option<Name>>,
}

impl HeardPass {
    /// Every note with its place; none where no string can have played it.
    pub(super) fn notes(&self) -> impl Iterator<Item = (&HeardNote, Option<Place>)> {
        self.heard.notes.iter().zip(self.names.iter().map(|name| name.map(|name| name.place)))
    }

    /// The notes that something can be made of, with their number.
    pub(super) fn usable(&self) -> impl Iterator<Item = (usize, &HeardNote, Place)> {
        /// A string has to be so sure.
        const SURE: f64 = 0.7;
        let named = self.heard.notes.iter().zip(&self.names).enumerate();
        let sure =
            named.filter_map(|(at, (note, name))| Some((at, note, name.filter(|name| name.certainty > SURE)?.place)));
        sure.filter(|(_, note, _)| note.is_clear())
    }
}

/// Responses of a position at any frequency.
pub(super) struct Circuit<'a> {
    grid: &'a Grid,
    responses: &'a Responses,
    signs: Vec<f64>,
}

impl<'a> Circuit<'a> {
    pub(super) fn new(session: &'a Session<'_>, position: usize) -> Self {
        let signs = session.guitar.pickups.iter().map(|pickup| pickup.signal_sign()).collect();
        Self { grid: &session.grid, responses: &session.positions[position].responses, signs }
    }

    /// Response of each pickup, with the sign of its winding and magnet.
    pub(super) fn at(&self, hertz: f64) -> Vec<Complex64> {
        let (first, weights) = self.grid.cubic(hertz);
        let of = |pickup: usize| (0..4).map(|k| self.responses.at(pickup, first + k) * weights[k]).sum::<Complex64>();
        self.signs.iter().enumerate().map(|(pickup, sign)| sign * of(pickup)).collect()
    }
}

/// Fits a guitar to what was recorded of it.
///
/// Passes that do not fit are named and left out; what recordings do not determine stays as it was.
///
/// # Panics
/// When a pass is in a position that there is not, or there is not one [`Known`] per pickup.
pub fn calibrate(session: &Session<'_>) -> Calibrated {
    calibrate_while(session, &|| true).expect("nobody gives up")
}

/// The same; none when `goes_on`, which is asked now and then, says that nobody waits any more.
///
/// # Panics
/// As [`calibrate`].
pub fn calibrate_while(session: &Session<'_>, goes_on: &dyn Fn() -> bool) -> Option<Calibrated> {
    assert_eq!(
        session.known.len(),
        session.guitar.pickups.len(),
        "it is said of each pickup how well its place is known"
    );
    let hear = |pass: &Pass<'_>| match pass.played {
        Played::AsAsked => listen(pass.samples, pass.sample_rate),
        Played::Freely => listen_freely(pass.samples, pass.sample_rate),
    };
    let heard: Vec<Heard> = session.passes.iter().map(|pass| goes_on().then(|| hear(pass))).collect::<Option<_>>()?;
    let mut complaints = checks::listened(session, &named(session, &heard, &[])[0].passes);
    // What was left out has no say in what the others are called, either.
    let Named { passes, of_strings } = likeliest(session, named(session, &heard, &complaints), &complaints);
    let tuned = tuned(session.guitar, &of_strings);
    let data: Vec<Datum> = data(session, &tuned, &passes, &complaints);
    if !goes_on() {
        return None;
    }
    let wrong = checks::positions(session, &passes, &data);
    complaints.extend(wrong);
    if !goes_on() {
        return None;
    }
    let fitted = fitted(session, &tuned, &data, &complaints);
    let combs = fitted.as_ref().map(|(_, combs)| combs.clone()).unwrap_or_default();
    let figures = figures(session, &passes, &of_strings, fitted.as_ref().map(|(fit, _)| fit), complaints);
    Some(Calibrated { combs, ..figures })
}

/// Passes with their notes named, and what those that are not left out say of the strings.
struct Named {
    passes: Vec<HeardPass>,
    of_strings: Vec<StringFigures>,
}

/// The ways to name all notes, the likeliest first.
fn named(session: &Session<'_>, heard: &[Heard], complaints: &[Complaint]) -> Vec<Named> {
    let pairs = heard.iter().zip(&session.passes).enumerate();
    let notes = pairs.flat_map(|(index, (heard, pass))| {
        let left_out = complaints.iter().any(|complaint| complaint.leaves_out(index));
        heard.notes.iter().map(move |note| (note, pass.played, left_out))
    });
    let notes: Vec<Note> = notes.map(|(heard, played, left_out)| Note { heard, played, left_out }).collect();
    let of_way = |way: Naming| {
        let mut names = way.names.into_iter();
        let with_names = |heard: &Heard| {
            let names = names.by_ref().take(heard.notes.len()).collect();
            HeardPass { heard: heard.clone(), names }
        };
        let passes = heard.iter().map(with_names).collect();
        Named { passes, of_strings: way.strings }
    };
    name(&notes, &StiffString::all(session.guitar)).into_iter().map(of_way).collect()
}

/// The way that explains how strong the partials are, too. Two strings that are taken for each other leave pitches and stiffness as likely, but
/// the same pitch on another string is a wave of the same length at another fret: the combs of the pickups do not fit.
fn likeliest(session: &Session<'_>, ways: Vec<Named>, complaints: &[Complaint]) -> Named {
    /// So much less must partials scatter in a way that is less likely otherwise: which notes are sure moves it by less.
    const CLEARLY: f64 = 0.8;
    let alone = ways.len() == 1;
    let scatter = |way: &Named| {
        let strings = tuned(session.guitar, &way.of_strings);
        let data = data(session, &strings, &way.passes, complaints);
        fitted(session, &strings, &data, complaints).map_or(f64::INFINITY, |(fit, _)| fit.scatter_db)
    };
    let fits = ways.into_iter().map(|way| (if alone { 0.0 } else { scatter(&way) }, way));
    let best = fits.reduce(|best, other| if other.0 < CLEARLY * best.0 { other } else { best });
    best.expect("there is a likeliest way").1
}

/// The strings as they are tuned and as stiff as they were found.
fn tuned(guitar: &Guitar, figures: &[StringFigures]) -> Vec<StiffString> {
    let strings = StiffString::all(guitar);
    let tuned = |(string, figures): (StiffString, &StringFigures)| StiffString {
        fundamental: string.fundamental * (figures.cents.0 / 1200.0).exp2(),
        inharmonicity: string.inharmonicity * figures.log_stiffness.0.exp(),
        ..string
    };
    strings.into_iter().zip(figures).map(tuned).collect()
}

/// Every partial of every note that can be used. Notes are counted through all passes.
fn data(session: &Session<'_>, strings: &[StiffString], passes: &[HeardPass], complaints: &[Complaint]) -> Vec<Datum> {
    let mut data = Vec::new();
    let mut note = 0;
    for (index, pass) in passes.iter().enumerate() {
        let circuit = Circuit::new(session, session.passes[index].position);
        if !complaints.iter().any(|complaint| complaint.leaves_out(index)) {
            let of_note = |(at, heard, place)| partials(heard, place, note + at, index, strings, &circuit);
            data.extend(pass.usable().flat_map(of_note));
        }
        note += pass.heard.notes.len();
    }
    data
}

fn partials<'a>(
    heard: &'a HeardNote,
    place: Place,
    note: usize,
    pass: usize,
    strings: &[StiffString],
    circuit: &'a Circuit<'_>,
) -> impl Iterator<Item = Datum> + use<'a> {
    /// What a partial holds beside itself whatever is played, relative to the strongest: a magnet's distortion, in dB.
    const CLEAN_DB: f64 = -42.0;
    let string = strings[place.string].fretted(f64::from(place.fret));
    let strongest = heard.partials.iter().map(|partial| partial.level_db).fold(f64::MIN, f64::max);
    let across = if strings.len() < 2 { 0.0 } else { place.string as f64 / (strings.len() - 1) as f64 - 0.5 };
    heard.partials.iter().map(move |partial| {
        let beside = 10f64.powf(partial.noise_db / 20.0).hypot(10f64.powf((strongest + CLEAN_DB) / 20.0));
        let share = beside / 10f64.powf(partial.level_db / 20.0);
        // What else is there adds its power, on the average.
        let alone_db = 10.0 * (1.0 - share * share).max(0.1).log10();
        Datum {
            note,
            pass,
            string: place.string,
            across,
            n: partial.n as f64,
            hertz: partial.hertz,
            wavenumber: partial.n as f64 * std::f64::consts::PI / (1e3 * string.length),
            level_db: partial.level_db + alone_db,
            // 20 lg (1 + x) is 8.7 x; what is not there at all says little.
            noise_db: 8.7 * share.min(3.0),
            responses: circuit.at(partial.hertz),
        }
    })
}

/// The fit to what is left, and its combs; none when that is nothing.
fn fitted(
    session: &Session<'_>,
    strings: &[StiffString],
    data: &[Datum],
    complaints: &[Complaint],
) -> Option<(Fit, Vec<Comb>)> {
    let used = |datum: &&Datum| !complaints.iter().any(|complaint| complaint.leaves_out(datum.pass));
    let mut data: Vec<Datum> = data.iter().filter(used).cloned().collect();
    let reference = reference(session, &data)?;
    let mut notes: Vec<usize> = data.iter().map(|datum| datum.note).collect();
    notes.dedup();
    // Notes without data have no parameters.
    for datum in &mut data {
        datum.note = notes.binary_search(&datum.note).ok()?;
    }
    let layout = Layout {
        pickups: session.guitar.pickups.len(),
        strings: session.guitar.strings.len(),
        passes: session.passes.len(),
        notes: notes.len(),
    };
    let task = Task { guitar: session.guitar, known: &session.known, layout, data, reference };
    let fit = fitting::fit(&task);
    let combs = combs(session, strings, &task.data, &fit);
    Some((fit, combs))
}

/// The pickup that others are compared with: of those that are heard, the one nearest the neck.
pub(super) fn reference(session: &Session<'_>, data: &[Datum]) -> Option<usize> {
    (0..session.guitar.pickups.len()).rev().find(|&pickup| data.iter().any(|datum| datum.is_heard(pickup)))
}
