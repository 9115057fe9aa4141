//! How strong the notes of a frame are, once it is known which.

use std::sync::Arc;

use super::voices::{Voice, Voices};
use crate::following::factorisation::{add, dot};
use crate::following::room::Room;
use crate::following::templates::Templates;

/// Fits a frame by the notes that are heard at their pitches, with the templates of all others beside them, by the updates
/// of [`crate::following::factorisation`]. Allocates nothing after [`Fitting::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Fitting {
    voices: Arc<Voices>,
    /// Share of the strongest activation below which a row is left out of a round.
    weak: f32,
    /// Sum of every template's spectrum as voices are drawn.
    sums: Arc<[f32]>,
    drawn: Vec<f32>,
    parts: Room<Part>,
    /// Pitches of the voices among them.
    voiced: Room<usize>,
    estimate: Vec<f32>,
    ratio: Vec<f32>,
}

/// A row of the factorisation.
#[derive(Debug, Clone, Copy)]
struct Part {
    row: Row,
    /// None for noise.
    sound: Option<Sound>,
    activation: f32,
    sum: f32,
}

#[derive(Debug, Clone, Copy)]
enum Row {
    Drawn(usize),
    Template(usize),
}

/// What one row stands for: a note in one manner of plucking.
#[derive(Debug, Clone, Copy)]
pub(in crate::following) struct Sound {
    pub(in crate::following) note: usize,
    pub(in crate::following) manner: usize,
}

impl Fitting {
    /// Voices that are fitted at most: a few pitches, each on several strings.
    pub(in crate::following) const MOST: usize = 16;
    const SPARSITY: f32 = 0.02;
    /// What notes that are not heard start with, relative to what is usual.
    const OTHERS: f32 = 0.1;

    pub(in crate::following) fn new(voices: Arc<Voices>, templates: &Templates, weak: f32) -> Self {
        let sums = voices.sums(templates);
        let drawn = Self::MOST * Voices::FITTED;
        Self {
            voices,
            weak,
            sums,
            drawn: vec![0.0; drawn * templates.bins],
            parts: Room::for_up_to(drawn + templates.count() + Templates::NOISES),
            voiced: Room::for_up_to(2 * Self::MOST),
            estimate: vec![0.0; templates.bins],
            ratio: vec![0.0; templates.bins],
        }
    }

    /// Takes a weighted spectrum of sum 1 and the notes that are heard in it; the templates of all other pitches stand beside them.
    pub(in crate::following) fn begin(&mut self, templates: &Templates, voices: &[Voice], spectrum: &[f32]) {
        self.clear();
        (0..voices.len()).for_each(|place| self.draw(templates, voices, place));
        self.complete(templates, spectrum);
    }

    /// The first part of [`Fitting::begin`]: forgets the spectrum before.
    pub(in crate::following) fn clear(&mut self) {
        self.parts.clear();
        self.voiced.clear();
    }

    /// The second part, for one of the notes, in their order.
    pub(in crate::following) fn draw(&mut self, templates: &Templates, voices: &[Voice], place: usize) {
        if place < Self::MOST {
            let rows = templates.count() + Templates::NOISES + voices.len() * Voices::FITTED;
            self.add_voice(templates, &voices[place], voices[place].likely / rows as f32);
        }
    }

    /// The last part.
    pub(in crate::following) fn complete(&mut self, templates: &Templates, spectrum: &[f32]) {
        self.add_others(templates);
        self.walk(templates, spectrum, |activation, _, _| activation);
    }

    /// One round over what sounds, for a weighted spectrum of sum 1.
    pub(in crate::following) fn round(&mut self, templates: &Templates, spectrum: &[f32]) {
        self.walk(templates, spectrum, |activation, row, ratio| activation * dot(row, ratio) / (1.0 + Self::SPARSITY));
    }

    /// What the notes are worth: amplitudes of their strings.
    pub(in crate::following) fn amplitudes(&self) -> impl Iterator<Item = (Sound, f32)> + '_ {
        self.parts.iter().filter_map(|part| Some((part.sound?, part.activation / part.sum)))
    }

    /// Takes a note that is heard, and what it starts from in each manner of plucking.
    fn add_voice(&mut self, templates: &Templates, voice: &Voice, start: f32) {
        let documented = templates.pitches[voice.note];
        let sounding = (documented as f32 + 12.0 * voice.ratio.log2()).round() as usize;
        self.voiced.push(documented);
        if sounding != documented {
            self.voiced.push(sounding);
        }
        for manner in 0..Voices::FITTED {
            let place = self.parts.len();
            let spectrum = &mut self.drawn[place * templates.bins..][..templates.bins];
            let sum = self.voices.spectrum(voice.note, voice.ratio, manner, spectrum);
            let sound = Some(Sound { note: voice.note, manner });
            self.parts.push(Part { row: Row::Drawn(place), sound, activation: start, sum });
        }
    }

    /// Takes the templates of all other pitches. Comes after the voices.
    fn add_others(&mut self, templates: &Templates) {
        for template in 0..templates.count() + Templates::NOISES {
            let note = (template < templates.count()).then_some(template / Templates::PER_NOTE);
            if note.is_some_and(|note| self.voiced.contains(&templates.pitches[note])) {
                continue;
            }
            self.parts.push(Part {
                row: Row::Template(template),
                sound: note.map(|note| Sound { note, manner: Voices::FITTED + template % Templates::PER_NOTE }),
                activation: Self::OTHERS * templates.usual(template),
                sum: self.sums.get(template).copied().unwrap_or(1.0),
            });
        }
    }

    fn walk(&mut self, templates: &Templates, spectrum: &[f32], update: impl Fn(f32, &[f32], &[f32]) -> f32) {
        let strongest = self.parts.iter().map(|part| part.activation).fold(0.0, f32::max);
        self.estimate.fill(0.0);
        for part in self.parts.iter_mut().filter(|part| part.activation > self.weak * strongest) {
            let row = match part.row {
                Row::Drawn(place) => &self.drawn[place * templates.bins..][..templates.bins],
                Row::Template(template) => templates.spectrum(template),
            };
            part.activation = update(part.activation, row, &self.ratio);
            add(&mut self.estimate, part.activation, row);
        }
        for ((ratio, &value), &estimate) in self.ratio.iter_mut().zip(spectrum).zip(&self.estimate) {
            *ratio = value / (estimate + 1e-9);
        }
    }
}
