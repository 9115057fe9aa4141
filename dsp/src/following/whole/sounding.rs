//! What sounds, moment by moment, small enough to be kept for a whole take.

use super::listening::around;
use super::moments::parts;
use crate::following::crew::{Crew, results};
use crate::following::look::Look;
use crate::following::notes::{Fitting, Moment, Sounding, Voice, Voices, approach};
use crate::following::prepared::Prepared;

/// What sounds at each moment, one list per moment.
pub(super) fn sounding(
    prepared: &Prepared,
    samples: &[f32],
    moments: &[Moment],
    heard: &[Vec<Voice>],
    (fitting, crew): (&Fitting, &dyn Crew),
) -> Vec<Vec<Sounding>> {
    let look = Look::new(prepared.window.clone(), prepared.size.rate, prepared.templates.bins);
    let parts = parts(moments, LONGEST);
    let sounding = results(crew, parts.len(), |part| {
        let frames = parts[part].clone().map(|place| Frame {
            middle: moments[place].middle,
            voices: &heard[place],
            amplitudes: vec![0.0; prepared.templates.pitches.len() * Voices::MANNERS],
        });
        let mut frames: Vec<Frame> = frames.collect();
        fit(prepared, samples, &mut frames, &mut look.clone(), &mut fitting.clone());
        smooth(&mut frames);
        frames.iter().map(Frame::sounding).collect::<Vec<_>>()
    });
    sounding.into_iter().flatten().collect()
}

/// Moments that are smoothed together at most, so that a long silence does not take more memory than music.
const LONGEST: usize = 1024;
/// Rounds of a fit.
const ROUNDS: usize = 16;

struct Frame<'a> {
    middle: usize,
    voices: &'a [Voice],
    /// Per note and manner.
    amplitudes: Vec<f32>,
}

impl Frame<'_> {
    /// What is not negligible.
    fn sounding(&self) -> Vec<Sounding> {
        let heard = |note| self.voices.iter().find(|voice| voice.note == note);
        Sounding::all(&self.amplitudes, |note| heard(note).map_or(1.0, |voice| voice.ratio)).collect()
    }
}

fn fit(prepared: &Prepared, samples: &[f32], frames: &mut [Frame], look: &mut Look, fitting: &mut Fitting) {
    let templates = &prepared.templates;
    let mut weighted = vec![0.0; templates.bins];
    for place in 0..frames.len() {
        let (before, rest) = frames.split_at_mut(place);
        let frame = &mut rest[0];
        if let Some(before) = before.last().filter(|before| before.middle == frame.middle) {
            frame.amplitudes.copy_from_slice(&before.amplitudes);
            continue;
        }
        look.at(around(samples, frame.middle, look.length()));
        let level = look.weigh(templates, &mut weighted);
        fitting.begin(templates, frame.voices, &weighted);
        for _ in 0..ROUNDS {
            fitting.round(templates, &weighted);
        }
        for (sound, amplitude) in fitting.amplitudes() {
            frame.amplitudes[sound.note * Voices::MANNERS + sound.manner] = amplitude * level;
        }
    }
}

/// The mean of what smoothing forwards and what smoothing backwards gives.
fn smooth(frames: &mut [Frame]) {
    let (Some(first), Some(last)) = (frames.first(), frames.last()) else { return };
    let (mut state, mut backwards) = (first.amplitudes.clone(), last.amplitudes.clone());
    let follow = |state: &mut f32, value: f32| {
        approach(state, value);
        *state
    };
    let mut later: Vec<Vec<f32>> = Vec::with_capacity(frames.len());
    for frame in frames.iter().rev() {
        later.push(backwards.iter_mut().zip(&frame.amplitudes).map(|(state, &value)| follow(state, value)).collect());
    }
    for (frame, later) in frames.iter_mut().zip(later.iter().rev()) {
        for ((value, state), later) in frame.amplitudes.iter_mut().zip(&mut state).zip(later) {
            *value = 0.5 * (follow(state, *value) + later);
        }
    }
}
