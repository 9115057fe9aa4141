//! Which notes sound at each moment, and what the whole of each says about its string.

use std::collections::HashMap;
use std::sync::Arc;

use super::moments::Moment;
use super::plucks::{Pluck, plucks};
use super::voices::Voice;
use crate::following::factorisation::Factorisation;
use crate::following::look::Look;
use crate::following::naming::{NoteEvidence, Patience, Tracker};
use crate::following::prepared::Prepared;
use crate::following::source::Source;
use crate::following::templates::Templates;
use crate::following::window::Window;

/// What sounds at each moment, one list per moment.
pub(super) fn listen(source: &Source, prepared: &Prepared, samples: &[f32], moments: &[Moment]) -> Vec<Vec<Voice>> {
    let templates = &prepared.templates;
    let mut ear = Ear::new(source, prepared);
    let heard: Vec<Vec<(Pluck, NoteEvidence)>> =
        moments.iter().map(|moment| ear.listen(templates, samples, moment.middle)).collect();
    // The last that is known about a note counts for all of it.
    let notes: HashMap<Pluck, NoteEvidence> = heard.iter().flatten().copied().collect();
    let plucked = plucks(&heard, moments);
    let voices = |sounding: &Vec<(Pluck, NoteEvidence)>| {
        let now: Vec<NoteEvidence> = sounding.iter().map(|(_, note)| *note).collect();
        let known: Vec<NoteEvidence> = sounding.iter().map(|(pluck, _)| notes[&plucked[pluck]]).collect();
        ear.tracker.voices(&now, &known)
    };
    heard.iter().map(voices).collect()
}

/// Hears pitches frame by frame.
struct Ear {
    short: Look,
    long: Look,
    weighted: Vec<f32>,
    factorisation: Factorisation,
    tracker: Tracker,
    strongest: f32,
    last: Option<(usize, Vec<(Pluck, NoteEvidence)>)>,
}

impl Ear {
    const ROUNDS: usize = 6;
    /// How far a frame starts towards what is usual, rather than where the frame before ended.
    const RELAX: f32 = 0.3;
    const COMPETITION: f32 = 0.3;
    const COMPETITION_FLOOR: f32 = 1e-3;
    /// Strings are named down to this share of the strongest level.
    const NAMED: f32 = 0.003;

    fn new(source: &Source, prepared: &Prepared) -> Self {
        let Prepared { size, window, templates, .. } = prepared;
        let long = Arc::new(Window::symmetric(2 * size.frame));
        Self {
            short: Look::new(window.clone(), size.rate, templates.bins),
            long: Look::new(long, size.rate, 0),
            weighted: vec![0.0; templates.bins],
            factorisation: Factorisation::new(templates),
            tracker: Tracker::new(&source.strings, templates, Patience::WHOLE),
            strongest: 0.0,
            last: None,
        }
    }

    fn listen(&mut self, templates: &Templates, samples: &[f32], middle: usize) -> Vec<(Pluck, NoteEvidence)> {
        if let Some((_, heard)) = self.last.as_ref().filter(|(last, _)| *last == middle) {
            return heard.clone();
        }
        self.hear(templates, samples, middle);
        let heard: Vec<_> = self.tracker.notes().map(|(frame, note)| (Pluck::new(frame, &note), note)).collect();
        self.last = Some((middle, heard.clone()));
        heard
    }

    fn hear(&mut self, templates: &Templates, samples: &[f32], middle: usize) {
        self.short.at(around(samples, middle, self.short.length()));
        let level = self.short.weigh(templates, &mut self.weighted);
        self.strongest = level.max(self.strongest);
        if !self.tracker.is_possible() || level < Self::NAMED * self.strongest {
            self.tracker.rest();
            return;
        }
        self.factorisation.take(&self.weighted);
        self.factorisation.relax(templates, Self::RELAX);
        self.factorisation.estimate(templates);
        for _ in 0..Self::ROUNDS {
            self.factorisation.round(templates);
        }
        self.factorisation.compete(templates, Self::COMPETITION, Self::COMPETITION_FLOOR);
        self.long.at(around(samples, middle, self.long.length()));
        self.short.find_peaks();
        self.long.find_peaks();
        self.tracker.listen(templates, &self.factorisation.activations);
        for _ in 0..self.tracker.rounds(usize::MAX) {
            self.tracker.score_next(&self.short.peaks, &self.long.peaks);
        }
    }
}

/// A frame of samples around a middle; silence where there are none.
pub(super) fn around(samples: &[f32], middle: usize, length: usize) -> impl Iterator<Item = &f32> {
    let half = length / 2;
    let before = std::iter::repeat_n(&0.0, half.saturating_sub(middle));
    let from = middle.saturating_sub(half).min(samples.len());
    before.chain(&samples[from..]).chain(std::iter::repeat(&0.0)).take(length)
}
