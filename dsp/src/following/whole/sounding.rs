//! What sounds, moment by moment, small enough to be kept for a whole take.

use super::moments::parts;
use crate::following::certainty::Noise;
use crate::following::crew::{Crew, results};
use crate::following::frame::Frame;
use crate::following::look::Look;
use crate::following::notes::{Fitting, Moment, Sounding, Voice, Voices, approach};
use crate::following::prepared::Prepared;

/// What sounds at a moment, and how far that is to be trusted.
#[derive(Debug)]
pub(super) struct Hop {
    pub(super) sounding: Vec<Sounding>,
    pub(super) certainty: f32,
}

/// What sounds at each moment.
pub(super) fn sounding(
    prepared: &Prepared,
    samples: &[f32],
    moments: &[Moment],
    heard: &[Vec<Voice>],
    (fitting, crew): (&Fitting, &dyn Crew),
) -> Vec<Hop> {
    let look = Look::new(prepared.templates.window.clone(), prepared.size.rate, prepared.templates.bins);
    let parts = parts(moments, LONGEST);
    let sounding = results(crew, parts.len(), |part| {
        let frames = parts[part].clone().map(|place| Fitted {
            middle: moments[place].middle,
            voices: &heard[place],
            level: 0.0,
            noise: 0.0,
            amplitudes: vec![0.0; prepared.templates.pitches.len() * Voices::MANNERS],
        });
        let mut frames: Vec<Fitted> = frames.collect();
        fit(prepared, samples, &mut frames, &mut look.clone(), &mut fitting.clone());
        smooth(&mut frames);
        frames.iter().map(|frame| (frame.sounding(), frame.noise, frame.level)).collect::<Vec<_>>()
    });
    trusted(sounding.into_iter().flatten().collect())
}

/// Tells how far each hop is to be trusted, from its share of noise and its level and from those of the hops around it.
fn trusted(hops: Vec<(Vec<Sounding>, f32, f32)>) -> Vec<Hop> {
    let follow = |noise: &mut Noise, &(_, share, level): &(Vec<Sounding>, f32, f32)| {
        noise.hear(share, level);
        Some(*noise)
    };
    let later: Vec<Noise> = hops.iter().rev().scan(Noise::default(), follow).collect();
    let before: Vec<Noise> = hops.iter().scan(Noise::default(), follow).collect();
    let noises = before.into_iter().zip(later.into_iter().rev());
    let hop = |((sounding, ..), (before, later)): ((Vec<Sounding>, f32, f32), (Noise, Noise))| Hop {
        sounding,
        certainty: before.with(later).certainty(),
    };
    hops.into_iter().zip(noises).map(hop).collect()
}

/// Moments that are smoothed together at most, so that a long silence does not take more memory than music.
const LONGEST: usize = 1024;
/// Rounds of a fit. Half of them are as near to synthesised truth, but let the level of a real note step by 0.3 dB more.
const ROUNDS: usize = 16;

/// What a moment is fitted by.
struct Fitted<'a> {
    middle: usize,
    voices: &'a [Voice],
    level: f32,
    /// Share of noise.
    noise: f32,
    /// Per note and manner.
    amplitudes: Vec<f32>,
}

impl Fitted<'_> {
    /// What is not negligible.
    fn sounding(&self) -> Vec<Sounding> {
        Sounding::all(&self.amplitudes, self.voices).collect()
    }
}

fn fit(prepared: &Prepared, samples: &[f32], frames: &mut [Fitted], look: &mut Look, fitting: &mut Fitting) {
    let templates = &prepared.templates;
    let mut weighted = vec![0.0; templates.bins];
    for place in 0..frames.len() {
        let (before, rest) = frames.split_at_mut(place);
        let frame = &mut rest[0];
        if let Some(before) = before.last().filter(|before| before.middle == frame.middle) {
            frame.amplitudes.copy_from_slice(&before.amplitudes);
            (frame.level, frame.noise) = (before.level, before.noise);
            continue;
        }
        look.at(Frame::around(samples, frame.middle, look.length()));
        let level = look.weigh(templates, &mut weighted);
        fitting.begin(templates, frame.voices, &weighted, |_| 1.0);
        for _ in 0..ROUNDS {
            fitting.round(templates, &weighted);
        }
        (frame.level, frame.noise) = (level, fitting.noise(templates));
        fitting.write_amplitudes(templates, level, &mut frame.amplitudes);
    }
}

/// The mean of what smoothing forwards and what smoothing backwards gives.
fn smooth(frames: &mut [Fitted]) {
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
