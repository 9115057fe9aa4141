//! From what sounds to what the strings do.

use std::sync::Arc;

use super::voices::{Voice, Voices};
use crate::following::energies::StringEnergies;
use crate::following::templates::Templates;
use crate::string::Playing;

/// A note at its pitch, in all manners of plucking.
#[derive(Debug, Clone, Copy)]
pub(in crate::following) struct Sounding {
    pub(in crate::following) note: usize,
    /// Pitch over the documented one.
    pub(in crate::following) ratio: f32,
    /// Squares of amplitudes, relative to the loudest of all notes.
    pub(in crate::following) squares: [f32; Voices::MANNERS],
}

impl Sounding {
    /// Amplitudes below this share of the loudest are not shown: 70 dB down.
    const NEGLIGIBLE: f32 = 3e-4;

    /// What sounds of all notes, by their amplitudes, in manner after manner of note after note; the voices are at the pitches at
    /// which they are heard.
    pub(in crate::following) fn all(amplitudes: &[f32], voices: &[Voice]) -> impl Iterator<Item = Self> {
        let ratio = |note| voices.iter().find(|voice| voice.note == note).map_or(1.0, |voice| voice.ratio);
        let loudest = amplitudes.iter().fold(0.0f32, |max, &value| max.max(value));
        let notes = amplitudes.chunks_exact(Voices::MANNERS).enumerate();
        let audible = notes.filter(move |(_, own)| own.iter().any(|&value| value > Self::NEGLIGIBLE * loudest));
        // Only proportions count; the largest is 1, far from where single precision ends.
        let squares = move |own: &[f32]| std::array::from_fn(|manner| (own[manner] / loudest).powi(2));
        audible.map(move |(note, own)| Self { note, ratio: ratio(note), squares: squares(own) })
    }
}

/// What the strings do, as it is shown to conversions.
#[derive(Debug, Clone)]
pub(in crate::following) struct Shown {
    voices: Arc<Voices>,
    energies: StringEnergies,
    pub(in crate::following) playing: Playing,
    strongest: Vec<f32>,
}

impl Shown {
    pub(in crate::following) fn new(voices: Arc<Voices>, energies: StringEnergies, templates: &Templates) -> Self {
        let playing = Playing::unknown(templates.strings, templates.points);
        Self { voices, energies, playing, strongest: vec![0.0; templates.strings] }
    }

    /// Shows what sounds, and how far that is to be trusted.
    pub(in crate::following) fn show(&mut self, sounding: impl Iterator<Item = Sounding>, confidence: f32) {
        self.strongest.fill(0.0);
        self.playing.stretch_mut().fill(1.0);
        for string in 0..self.strongest.len() {
            self.playing.power_mut(string).fill(0.0);
        }
        for Sounding { note, ratio, squares } in sounding {
            let string = note / Templates::FRETS;
            self.voices.add_power(note, ratio, &squares, self.playing.power_mut(string));
            let strength = squares.iter().sum::<f32>();
            if strength > self.strongest[string] {
                self.strongest[string] = strength;
                self.playing.stretch_mut()[string] = ratio;
            }
        }
        self.energies.fill(&mut self.playing);
        self.playing.confidence = confidence;
    }
}
