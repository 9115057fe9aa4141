//! What a session determined, and how well.

use super::checks::Complaint;
use super::combs::Comb;
use super::fitting::{DEPTH, Fit, KNOTS, MIDDLE, SLANT, VOICE, WIDTH};
use super::listening::HeardNote;
use super::naming::{FRETS, Place, Played, StringFigures};
use super::session::{HeardPass, Session};
use crate::document::Guitar;
use crate::string::StiffString;

/// A value with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// Standard deviation of its error.
    pub sd: f64,
}

/// A guitar as its recordings show it.
#[derive(Debug, Clone)]
pub struct Calibrated {
    /// The guitar with every figure in it.
    pub guitar: Guitar,
    /// What was found of each string.
    pub strings: Vec<CalibratedString>,
    /// What was found of each pickup.
    pub pickups: Vec<CalibratedPickup>,
    /// What was heard of each pass.
    pub passes: Vec<PassReport>,
    /// What does not fit.
    pub complaints: Vec<Complaint>,
    /// What was measured beside what was fitted.
    pub combs: Vec<Comb>,
    /// Scatter of partials around the fit, in dB; none where nothing could be fitted.
    pub scatter_db: Option<f64>,
}

/// One string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalibratedString {
    /// Above its documented pitch, in cents.
    pub cents: Figure,
    /// B of the open string; its standard deviation, too, is absolute.
    pub inharmonicity: Figure,
    /// Notes that it was found from; with none, these are the document's.
    pub notes: usize,
}

/// One pickup; levels in dB, lengths in metres.
#[derive(Debug, Clone, PartialEq)]
pub struct CalibratedPickup {
    /// Distances under the lowest and the highest string.
    pub distances: [Figure; 2],
    /// Sensing width.
    pub sensing_width: Figure,
    /// Depth of the nulls.
    pub null_depth_db: Figure,
    /// Output relative to the reference pickup.
    pub output_db: Figure,
    /// Voicing: frequency of each knot in hertz, and its level.
    pub voicing: Vec<(f64, Figure)>,
    /// Whether any pass has it.
    pub recorded: bool,
    /// Whether it is the one that others are relative to, whose level and voicing are held.
    pub reference: bool,
}

/// What was heard of one pass.
#[derive(Debug, Clone, PartialEq)]
pub struct PassReport {
    /// Notes by place, how many of each.
    pub notes: Vec<(Place, usize)>,
    /// Places asked for that were not played.
    pub missing: Vec<Place>,
    /// Seconds at which something was heard that is no note of this guitar; where music was played, by itself.
    pub unnamed: Vec<f64>,
    /// Notes that were used in the fit.
    pub used: usize,
}

/// Knots of a voicing whose mean is the level (from, and before which): the outer ones rest on few partials.
pub(super) const LEVEL_KNOTS: (usize, usize) = (1, 6);

/// Systematic standard deviations, in millimetres and dB: what else is in a recording fills nulls and lifts the treble a little.
const WIDTH_BIAS: f64 = 1.0;
const DEPTH_BIAS: f64 = 0.5;

pub(super) fn figures(
    session: &Session<'_>,
    passes: &[HeardPass],
    of_strings: &[StringFigures],
    fit: Option<&Fit>,
    complaints: Vec<Complaint>,
) -> Calibrated {
    let strings: Vec<CalibratedString> = StiffString::all(session.guitar)
        .iter()
        .zip(of_strings)
        .map(|(documented, figures)| {
            let stiffness = documented.inharmonicity * figures.log_stiffness.0.exp();
            CalibratedString {
                cents: Figure { value: figures.cents.0, sd: figures.cents.1 },
                inharmonicity: Figure { value: stiffness, sd: stiffness * figures.log_stiffness.1 },
                notes: figures.notes,
            }
        })
        .collect();
    let pickups: Vec<CalibratedPickup> =
        (0..session.guitar.pickups.len()).map(|pickup| of_pickup(session, pickup, fit)).collect();
    let guitar = guitar(session.guitar, &strings, &pickups);
    let passes = passes.iter().enumerate().map(|(index, pass)| report(index, pass, session, &complaints)).collect();
    Calibrated {
        guitar,
        strings,
        pickups,
        passes,
        complaints,
        combs: Vec::new(),
        scatter_db: fit.map(|fit| fit.scatter_db),
    }
}

fn of_pickup(session: &Session<'_>, index: usize, fit: Option<&Fit>) -> CalibratedPickup {
    let pickup = &session.guitar.pickups[index];
    let recorded = fit.is_some_and(|fit| fit.heard[index]);
    let Some(fit) = fit.filter(|_| recorded) else {
        let known = session.known[index];
        let held = |value: f64, sd: f64| Figure { value, sd };
        let outer = known.distance.hypot(0.5 * known.slant);
        return CalibratedPickup {
            distances: [held(pickup.distance_low, outer), held(pickup.distance_high, outer)],
            sensing_width: held(pickup.sensing_width, 3e-3),
            null_depth_db: held(pickup.null_depth_db, 4.0),
            output_db: held(pickup.output_db, 3.0),
            voicing: pickup.voicing.iter().map(|&(hertz, db)| (hertz, held(db, 3.0))).collect(),
            recorded: false,
            reference: false,
        };
    };
    let own = fit.layout.pickup(index);
    let sum = |terms: &[(usize, f64)]| Figure {
        value: terms.iter().map(|&(at, factor)| factor * fit.parameters[at]).sum(),
        sd: fit.covariance.sd(terms),
    };
    let systematic = |figure: Figure, sd: f64| Figure { sd: figure.sd.hypot(sd), ..figure };
    let metres = |figure: Figure| Figure { value: 1e-3 * figure.value, sd: 1e-3 * figure.sd };
    let share = 1.0 / (LEVEL_KNOTS.1 - LEVEL_KNOTS.0) as f64;
    let level: Vec<(usize, f64)> = (LEVEL_KNOTS.0..LEVEL_KNOTS.1).map(|knot| (own + VOICE + knot, share)).collect();
    let knot = |at: usize| {
        let without_level = level.iter().map(|&(place, factor)| (place, -factor));
        let terms: Vec<(usize, f64)> = without_level.chain([(own + VOICE + at, 1.0)]).collect();
        (KNOTS[at], sum(&terms))
    };
    // Where others sound with it, the depth of its nulls and of theirs cannot be told apart: it stays.
    let null_depth_db = match fit.alone[index] {
        true => systematic(sum(&[(own + DEPTH, 1.0)]), DEPTH_BIAS),
        false => Figure { value: pickup.null_depth_db, sd: 4.0 },
    };
    CalibratedPickup {
        distances: [-0.5, 0.5].map(|side| metres(sum(&[(own + MIDDLE, 1.0), (own + SLANT, side)]))),
        sensing_width: metres(systematic(sum(&[(own + WIDTH, 1.0)]), WIDTH_BIAS)),
        null_depth_db,
        output_db: sum(&level),
        voicing: (0..KNOTS.len()).map(knot).collect(),
        recorded: true,
        reference: fit.reference == index,
    }
}

fn guitar(documented: &Guitar, strings: &[CalibratedString], pickups: &[CalibratedPickup]) -> Guitar {
    let mut guitar = documented.clone();
    for (string, found) in guitar.strings.iter_mut().zip(strings).filter(|(_, found)| found.notes > 0) {
        string.pitch *= (found.cents.value / 1200.0).exp2();
        string.inharmonicity = Some(found.inharmonicity.value);
    }
    for (pickup, found) in guitar.pickups.iter_mut().zip(pickups).filter(|(_, found)| found.recorded) {
        [pickup.distance_low, pickup.distance_high] = found.distances.map(|figure| figure.value);
        pickup.sensing_width = found.sensing_width.value;
        pickup.null_depth_db = found.null_depth_db.value;
        if !found.reference {
            pickup.output_db = found.output_db.value;
            pickup.voicing = found.voicing.iter().map(|(hertz, figure)| (*hertz, figure.value)).collect();
        }
    }
    guitar
}

fn report(index: usize, pass: &HeardPass, session: &Session<'_>, complaints: &[Complaint]) -> PassReport {
    let freely = session.passes[index].played == Played::Freely;
    let mut notes: Vec<(Place, usize)> = Vec::new();
    for place in pass.notes().filter_map(|(_, place)| place) {
        match notes.iter_mut().find(|(other, _)| *other == place) {
            Some((_, count)) => *count += 1,
            None => notes.push((place, 1)),
        }
    }
    notes.sort_by_key(|(place, _)| (place.string, place.fret));
    let asked: &[u8] = if freely { &[] } else { &FRETS };
    let asked =
        (0..session.guitar.strings.len()).flat_map(|string| asked.iter().map(move |&fret| Place { string, fret }));
    let missing = asked.filter(|asked| notes.iter().all(|(place, _)| place != asked)).collect();
    let said = |note: &HeardNote| !freely || note.is_clear();
    let unnamed = pass.notes().filter(|(note, place)| place.is_none() && said(note));
    let unnamed = unnamed.map(|(note, _)| note.start).collect();
    let left_out = complaints.iter().any(|complaint| complaint.leaves_out(index));
    PassReport { notes, missing, unnamed, used: if left_out { 0 } else { pass.usable().count() } }
}
