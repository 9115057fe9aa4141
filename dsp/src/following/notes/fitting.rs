//! How strong the notes of a frame are, once it is known which.

use std::ops::Range;
use std::sync::Arc;

use wide::f32x8;

use super::voices::{Tooth, Voice, Voices};
use crate::following::room::Room;
use crate::following::templates::Templates;
use crate::lanes::{add, dot, lanes, vectorised};

/// Fits a frame by the notes that are heard at their pitches, with the templates of all others beside them, by the updates
/// of [`crate::following::factorisation`]. Allocates nothing after [`Fitting::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Fitting {
    voices: Arc<Voices>,
    teeth: Room<Tooth>,
    combs: Room<Comb>,
    others: Room<Other>,
    /// Pitches of the voices.
    voiced: Room<usize>,
    estimate: Vec<f32>,
    ratio: Vec<f32>,
}

/// A voice in all manners of plucking. They have the same partials, so none is drawn twice.
#[derive(Debug, Clone)]
struct Comb {
    note: usize,
    teeth: Range<usize>,
    /// Per manner; those that are not fitted are 0.
    activations: f32x8,
    sums: f32x8,
}

/// A template.
#[derive(Debug, Clone, Copy)]
struct Other {
    template: usize,
    activation: f32,
}

impl Fitting {
    /// Voices that are fitted at most: a few pitches, each on several strings.
    pub(in crate::following) const MOST: usize = 16;
    const SPARSITY: f32 = 0.02;
    /// Share of the strongest activation below which a row is left out of a round.
    const WEAK: f32 = 1e-3;
    /// What notes that are not heard start with, relative to what is usual.
    const OTHERS: f32 = 0.1;

    pub(in crate::following) fn new(voices: Arc<Voices>, templates: &Templates) -> Self {
        Self {
            teeth: Room::for_up_to(Self::MOST * voices.most_partials()),
            combs: Room::for_up_to(Self::MOST),
            others: Room::for_up_to(templates.count() + Templates::NOISES),
            voiced: Room::for_up_to(2 * Self::MOST),
            estimate: vec![0.0; templates.bins],
            ratio: vec![0.0; templates.bins],
            voices,
        }
    }

    /// Takes a weighted spectrum of sum 1 and the notes that are heard in it; the templates of all other pitches stand beside them,
    /// each as far as it is to be tried, 0 to 1.
    pub(in crate::following) fn begin(
        &mut self,
        templates: &Templates,
        voices: &[Voice],
        spectrum: &[f32],
        tried: impl Fn(usize) -> f32,
    ) {
        self.teeth.clear();
        self.combs.clear();
        self.others.clear();
        self.voiced.clear();
        let rows = templates.count() + Templates::NOISES + voices.len() * Voices::FITTED;
        for voice in voices.iter().take(Self::MOST) {
            self.add_voice(templates, voice, voice.likely / rows as f32);
        }
        self.add_others(templates, tried);
        vectorised(
            #[inline(always)]
            || self.walk(templates, spectrum, false),
        );
    }

    /// One round over what sounds, for a weighted spectrum of sum 1.
    pub(in crate::following) fn round(&mut self, templates: &Templates, spectrum: &[f32]) {
        vectorised(
            #[inline(always)]
            || self.walk(templates, spectrum, true),
        );
    }

    /// Share of noise in what the frame was fitted by.
    pub(in crate::following) fn noise(&self, templates: &Templates) -> f32 {
        let combs: f32 = self.combs.iter().map(|comb| comb.activations.reduce_add()).sum();
        let others: f32 = self.others.iter().map(|other| other.activation).sum();
        let noise = self.others.iter().filter(|other| other.template >= templates.count());
        noise.map(|other| other.activation).sum::<f32>() / (combs + others + 1e-9)
    }

    /// How far templates are to be tried where all were found to be that strong: those up to a share of the strongest are as good as
    /// silent and not tried at all, and none is of a sudden, for a string that sounds on would waver.
    pub(in crate::following) fn worth_trying(activations: &[f32], silent: f32) -> impl Fn(usize) -> f32 + '_ {
        let silent = silent * activations.iter().fold(f32::MIN_POSITIVE, |max, &value| max.max(value));
        move |template| (activations[template] / silent - 1.0).clamp(0.0, 1.0)
    }

    /// Writes what templates are worth by the fit: those of a note that is heard have its activation in equal parts.
    pub(in crate::following) fn write_activations(&self, templates: &Templates, activations: &mut [f32]) {
        for (activations, pitch) in activations.chunks_exact_mut(Templates::PER_NOTE).zip(&templates.pitches) {
            if self.voiced.contains(pitch) {
                activations.fill(0.0);
            }
        }
        for other in self.others.iter() {
            activations[other.template] = other.activation;
        }
        for comb in self.combs.iter() {
            let own = &mut activations[comb.note * Templates::PER_NOTE..][..Templates::PER_NOTE];
            own.fill(comb.activations.reduce_add() / Templates::PER_NOTE as f32);
        }
    }

    /// Writes what the notes are worth when the spectrum's sum was `level`: amplitudes of their strings, note after note in
    /// [`Voices::MANNERS`].
    pub(in crate::following) fn write_amplitudes(&self, templates: &Templates, level: f32, amplitudes: &mut [f32]) {
        amplitudes.fill(0.0);
        for comb in self.combs.iter() {
            let own = &mut amplitudes[comb.note * Voices::MANNERS..][..Voices::FITTED];
            let fitted = (comb.activations / comb.sums * f32x8::splat(level)).to_array();
            own.copy_from_slice(&fitted[..Voices::FITTED]);
        }
        for other in self.others.iter().filter(|other| other.template < templates.count()) {
            let (note, manner) = (other.template / Templates::PER_NOTE, other.template % Templates::PER_NOTE);
            let amplitude = other.activation / templates.sums[other.template] * level;
            amplitudes[note * Voices::MANNERS + Voices::FITTED + manner] = amplitude;
        }
    }

    /// Estimates the spectrum by what sounds, which is updated first or not.
    #[inline(always)]
    fn walk(&mut self, templates: &Templates, spectrum: &[f32], update: bool) {
        let least = Self::WEAK * self.strongest();
        self.estimate.fill(0.0);
        for comb in self.combs.iter_mut() {
            let active = comb.activations.simd_gt(f32x8::splat(least));
            if active.any() {
                let (teeth, sensed) = (&self.teeth[comb.teeth.clone()], self.voices.sensed(comb.note));
                if update {
                    comb.update(teeth, sensed, active, &self.ratio);
                }
                comb.add(teeth, sensed, active, &mut self.estimate);
            }
        }
        for other in self.others.iter_mut().filter(|other| other.activation > least) {
            let row = templates.spectrum(other.template);
            if update {
                other.activation *= dot(row, &self.ratio) / (1.0 + Self::SPARSITY);
            }
            add(&mut self.estimate, other.activation, row);
        }
        for ((ratio, &value), &estimate) in self.ratio.iter_mut().zip(spectrum).zip(&self.estimate) {
            *ratio = value / (estimate + 1e-9);
        }
    }

    fn strongest(&self) -> f32 {
        let combs = self.combs.iter().fold(f32x8::ZERO, |max, comb| max.max(comb.activations));
        let combs = combs.to_array().into_iter().fold(0.0, f32::max);
        self.others.iter().fold(combs, |max, other| max.max(other.activation))
    }

    /// Takes a note that is heard, and what it starts from in each manner of plucking.
    fn add_voice(&mut self, templates: &Templates, voice: &Voice, start: f32) {
        let documented = templates.pitches[voice.note];
        let sounding = (documented as f32 + 12.0 * voice.ratio.log2()).round() as usize;
        self.voiced.push(documented);
        if sounding != documented {
            // A string that is bent is taken for the frets it passes, on other strings too.
            self.voiced.push(sounding);
        }
        let from = self.teeth.len();
        let sums = self.voices.draw(templates, voice.note, voice.ratio, &mut self.teeth);
        let activation = |manner: usize| if manner < Voices::FITTED { start } else { 0.0 };
        let activations = f32x8::new(std::array::from_fn(activation));
        self.combs.push(Comb { note: voice.note, teeth: from..self.teeth.len(), activations, sums });
    }

    /// Takes the templates of all other pitches, and those of noise. Comes after the voices.
    fn add_others(&mut self, templates: &Templates, tried: impl Fn(usize) -> f32) {
        for template in 0..templates.count() + Templates::NOISES {
            let pitch = templates.pitches.get(template / Templates::PER_NOTE);
            let share = match pitch {
                Some(pitch) if self.voiced.contains(pitch) => continue,
                Some(_) => tried(template),
                None => 1.0,
            };
            if share > 0.0 {
                let activation = Self::OTHERS * share * templates.usual(template);
                self.others.push(Other { template, activation });
            }
        }
    }
}

impl Comb {
    /// One update of the manners that are active.
    fn update(&mut self, teeth: &[Tooth], sensed: &[f32x8], active: f32x8, ratio: &[f32]) {
        let mut products = f32x8::ZERO;
        for (tooth, &sensed) in teeth.iter().zip(sensed) {
            products += sensed * f32x8::splat((tooth.lobe * lanes(&ratio[tooth.bins()])).reduce_add());
        }
        let updated = self.activations * products / (self.sums * f32x8::splat(1.0 + Fitting::SPARSITY));
        self.activations = active.bitselect(updated, self.activations);
    }

    /// Adds the spectrum of the manners that are active.
    fn add(&self, teeth: &[Tooth], sensed: &[f32x8], active: f32x8, estimate: &mut [f32]) {
        let amplitudes = active.bitselect(self.activations / self.sums, f32x8::ZERO);
        for (tooth, &sensed) in teeth.iter().zip(sensed) {
            let bins = &mut estimate[tooth.bins()];
            let sum = lanes(bins) + tooth.lobe * f32x8::splat((amplitudes * sensed).reduce_add());
            bins.copy_from_slice(sum.as_array());
        }
    }
}
