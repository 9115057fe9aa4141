//! Which templates make up a spectrum: multiplicative updates under the Kullback-Leibler divergence.
//!
//! Lee and Seung 2001 (Algorithms for non-negative matrix factorization): with V the spectrum and W the templates,
//! h_j <- h_j sum_f W_jf V_f / (W h)_f, templates of sum 1. The products of one round and the sum of the next are computed
//! in one walk over the templates.

use super::templates::Templates;
use crate::lanes::{add, dot, vectorised};

/// Activations of all templates for one spectrum after the other.
#[derive(Debug, Clone)]
pub(super) struct Factorisation {
    pub(super) activations: Vec<f32>,
    spectrum: Vec<f32>,
    estimate: Vec<f32>,
    ratio: Vec<f32>,
    /// Strongest activation of a pitch, and of a string.
    of_pitch: Vec<f32>,
    of_string: Vec<f32>,
    of_note: Vec<f32>,
}

impl Factorisation {
    /// Keeps activations from growing on noise.
    const SPARSITY: f32 = 0.02;
    const SMALLEST: f32 = 1e-9;
    const COMPETITION: f32 = 0.3;
    const COMPETITION_FLOOR: f32 = 1e-3;
    /// Share of the strongest activation below which one is weak.
    const WEAK: f32 = 1e-3;

    pub(super) fn new(templates: &Templates) -> Self {
        let zeros = || vec![0.0; templates.bins];
        let highest = templates.pitches.iter().copied().max().unwrap_or(0);
        let mut new = Self {
            activations: vec![0.0; templates.count() + Templates::NOISES],
            spectrum: zeros(),
            estimate: zeros(),
            ratio: zeros(),
            of_pitch: vec![0.0; highest + 3],
            of_string: vec![0.0; templates.strings],
            of_note: vec![0.0; templates.pitches.len()],
        };
        new.forget(templates);
        new
    }

    /// Back to what is usual.
    pub(super) fn forget(&mut self, templates: &Templates) {
        self.activations.iter_mut().enumerate().for_each(|(template, value)| *value = templates.usual(template));
    }

    /// Takes a spectrum (of sum 1, weighted).
    pub(super) fn take(&mut self, spectrum: &[f32]) {
        self.spectrum.copy_from_slice(spectrum);
    }

    /// Moves activations, brought to a sum of 1, that share of the way towards what is usual.
    pub(super) fn relax(&mut self, templates: &Templates, share: f32) {
        let scale = (1.0 - share) / (self.activations.iter().sum::<f32>() + Self::SMALLEST);
        for (template, value) in self.activations.iter_mut().enumerate() {
            *value = *value * scale + share * templates.usual(template);
        }
    }

    /// Prepares for [`Factorisation::round`] from activations that were changed from outside.
    pub(super) fn estimate(&mut self, templates: &Templates) {
        self.estimate.fill(0.0);
        let least = self.least();
        vectorised(
            #[inline(always)]
            || {
                for (template, &activation) in self.activations.iter().enumerate().filter(|(_, value)| **value > least)
                {
                    add(&mut self.estimate, activation, templates.spectrum(template));
                }
            },
        );
        self.turn();
    }

    /// One round over the templates, but for those so weak that the spectrum does not depend on them; they stay as they are.
    pub(super) fn round(&mut self, templates: &Templates) {
        vectorised(
            #[inline(always)]
            || self.walk(templates),
        );
    }

    #[inline(always)]
    fn walk(&mut self, templates: &Templates) {
        let least = self.least();
        let active = self.activations.iter_mut().enumerate().filter(|(_, activation)| **activation > least);
        for (template, activation) in active {
            let spectrum = templates.spectrum(template);
            *activation *= dot(spectrum, &self.ratio) / (1.0 + Self::SPARSITY);
            add(&mut self.estimate, *activation, spectrum);
        }
        self.turn();
    }

    fn least(&self) -> f32 {
        Self::WEAK * self.activations.iter().fold(0.0f32, |max, &value| max.max(value))
    }

    fn turn(&mut self) {
        for ((ratio, &value), estimate) in self.ratio.iter_mut().zip(&self.spectrum).zip(&mut self.estimate) {
            *ratio = value / (*estimate + Self::SMALLEST);
            *estimate = 0.0;
        }
    }

    /// Competition: a note loses against a stronger one of the same pitch (or a semitone beside it) on another string, and
    /// against a stronger one on the same string.
    pub(super) fn compete(&mut self, templates: &Templates) {
        self.of_pitch.fill(0.0);
        self.of_string.fill(0.0);
        let notes = self.activations[..templates.count()].chunks_exact(Templates::PER_NOTE);
        for (note, activations) in notes.enumerate() {
            let sum = activations.iter().sum::<f32>();
            self.of_note[note] = sum;
            let (pitch, string) = (templates.pitches[note] + 1, note / Templates::FRETS);
            self.of_pitch[pitch] = self.of_pitch[pitch].max(sum);
            self.of_string[string] = self.of_string[string].max(sum);
        }
        let notes = self.activations[..templates.count()].chunks_exact_mut(Templates::PER_NOTE);
        for (note, activations) in notes.enumerate() {
            let (pitch, string) = (templates.pitches[note], note / Templates::FRETS);
            let rival = self.of_pitch[pitch..pitch + 3].iter().fold(0.0f32, |max, &value| max.max(value));
            let sum = self.of_note[note];
            let share = sum / (rival + 1e-12) * (sum / (self.of_string[string] + 1e-12));
            let factor = share.max(Self::COMPETITION_FLOOR).powf(Self::COMPETITION);
            activations.iter_mut().for_each(|activation| *activation *= factor);
        }
    }
}
