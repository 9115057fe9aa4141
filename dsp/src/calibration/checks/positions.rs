//! Whether a pass sounds like the position that it is said to be.

use super::Complaint;
use crate::calibration::fitting::{Datum, Layout, MIDDLE, best_pluck, start};
use crate::calibration::session::{Circuit, HeardPass, Session};

/// Partials up to this are compared, in hertz: above, a distance that is only roughly known says nothing.
const TOP_HERTZ: f64 = 1500.0;
/// Standard deviation of a partial's level, of a note's level and of its tilt, in dB (per octave): wide, as nothing is fitted yet.
const SCATTER_DB: f64 = 3.0;
const LEVEL_DB: f64 = 40.0;
const TILT_DB: f64 = 3.0;
/// Places that are tried around the documented ones, in millimetres, where one pickup sounds and where several do.
const ALONE: [f64; 11] = [-10.0, -8.0, -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0, 8.0, 10.0];
const TOGETHER: [f64; 3] = [-6.0, 0.0, 6.0];
/// Another position has to cost this share of its own, and so much less, to be believed; up to the other share both may be meant.
const BETTER: f64 = 0.8;
const CLEARLY: f64 = 12.0;
const ALIKE: f64 = 1.1;

/// Passes that sound like other positions.
pub(in crate::calibration) fn positions(session: &Session<'_>, passes: &[HeardPass], data: &[Datum]) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for pass in 0..passes.len() {
        let own: Vec<Datum> =
            data.iter().filter(|datum| datum.pass == pass && datum.hertz < TOP_HERTZ).cloned().collect();
        if own.is_empty() {
            continue;
        }
        let said = session.passes[pass].position;
        let costs: Vec<f64> = (0..session.positions.len()).map(|position| cost(session, position, &own)).collect();
        let others = (0..costs.len()).filter(|&position| position != said && costs[position].is_finite());
        let Some(best) = others.min_by(|&a, &b| costs[a].total_cmp(&costs[b])) else { continue };
        if costs[best] < BETTER * costs[said] && costs[said] - costs[best] > CLEARLY {
            complaints.push(Complaint::WrongPosition { pass, sounds_like: best });
        } else if costs[best] < ALIKE * costs[said] {
            complaints.push(Complaint::Ambiguous { pass, other: best });
        }
    }
    complaints
}

/// What notes cost at best if they had been played in a position; infinite where that is silent.
fn cost(session: &Session<'_>, position: usize, data: &[Datum]) -> f64 {
    let circuit = Circuit::new(session, position);
    let heard: Vec<Datum> =
        data.iter().map(|datum| Datum { responses: circuit.at(datum.hertz), ..datum.clone() }).collect();
    let loudest =
        heard.iter().flat_map(|datum| &datum.responses).fold(0.0f64, |max, response| max.max(response.norm()));
    if loudest < 1e-6 {
        return f64::INFINITY;
    }
    let layout =
        Layout { pickups: session.guitar.pickups.len(), strings: session.guitar.strings.len(), passes: 0, notes: 0 };
    let start = start(session.guitar, &layout);
    let sounding: Vec<usize> = heard[0].sounding().map(|(pickup, _)| pickup).collect();
    let steps: &[f64] = if sounding.len() == 1 { &ALONE } else { &TOGETHER };
    let tried = steps.len().pow(sounding.len() as u32);
    let costs = (0..tried).map(|mut choice| {
        let mut parameters = start.clone();
        for pickup in &sounding {
            parameters[layout.pickup(*pickup) + MIDDLE] += steps[choice % steps.len()];
            choice /= steps.len();
        }
        of_notes(&heard, &layout, &parameters)
    });
    costs.fold(f64::INFINITY, f64::min)
}

fn of_notes(data: &[Datum], layout: &Layout, parameters: &[f64]) -> f64 {
    let notes = data.chunk_by(|one, other| one.note == other.note);
    let of_note = |note: &[Datum]| {
        let own: Vec<&Datum> = note.iter().collect();
        let rest: Vec<f64> =
            note.iter().map(|datum| datum.sensed_db(layout, parameters) - 20.0 * datum.n.log10()).collect();
        let sd: Vec<f64> = note.iter().map(|datum| SCATTER_DB.hypot(datum.noise_db)).collect();
        best_pluck(&own, &rest, &sd, LEVEL_DB, TILT_DB).map_or(0.0, |best| best.cost)
    };
    notes.map(of_note).sum()
}
