//! Following a take that is known from beginning to end.

use std::sync::Arc;

use super::decimator::Decimator;
use super::energies::StringEnergies;
use super::factorisation::Factorisation;
use super::frame::{FrameSize, Spectrum};
use super::prepared::Prepared;
use super::source::Source;
use super::templates::Templates;
use crate::string::Playing;

/// What a whole take says about its strings, frame by frame.
#[derive(Debug, Clone)]
pub struct Whole {
    size: FrameSize,
    /// Shared by clones, as all that does not change.
    templates: Arc<Templates>,
    energies: StringEnergies,
    /// Activations of the notes' templates, frame by frame.
    frames: Arc<[f32]>,
    /// Samples of the host that were played.
    passed: usize,
    playing: Playing,
    version: u64,
}

impl Whole {
    const ROUNDS: usize = 40;
    /// Competition sets in after so many rounds.
    const UNHINDERED: usize = 20;
    const COMPETITION: f32 = 0.3;
    const COMPETITION_FLOOR: f32 = 1e-4;
    const RISE: f32 = 0.4;
    const FALL: f32 = 0.12;

    pub(super) fn new(source: &Source, sample_rate: f64, take: &[f32]) -> Self {
        let Prepared { size, window, templates, energies } = Prepared::new(source, sample_rate, true);
        let mut decimator = Decimator::new(size.halvings, take.len());
        let samples = decimator.process(take);
        let mut spectrum = Spectrum::new(size.frame);
        let mut factorisation = Factorisation::new(&templates);
        let mut weighted = vec![0.0; templates.bins];
        let silence = vec![0.0; size.frame];
        let mut frames = Vec::new();
        for frame in 0..samples.len() / size.hop + 2 {
            // The frame's middle lies at frame * hop.
            let padded = silence[size.frame / 2..].iter().chain(samples).chain(&silence);
            spectrum.magnitudes(padded.skip(frame * size.hop), &window, &mut weighted);
            weighted.iter_mut().zip(&templates.weight).for_each(|(value, weight)| *value *= weight);
            let level = weighted.iter().sum::<f32>() + 1e-9;
            weighted.iter_mut().for_each(|value| *value /= level);
            factorisation.take(&weighted);
            factorisation.forget(&templates);
            factorisation.estimate(&templates);
            for round in 0..Self::ROUNDS {
                factorisation.round(&templates);
                if round >= Self::UNHINDERED {
                    factorisation.compete(&templates, Self::COMPETITION, Self::COMPETITION_FLOOR);
                    factorisation.estimate(&templates);
                }
            }
            frames.extend(factorisation.activations[..templates.count()].iter().map(|value| value * level));
        }
        smooth(&mut frames, templates.count());
        let playing = Playing::unknown(templates.strings, templates.points);
        let mut new = Self {
            size,
            templates: Arc::new(templates),
            energies,
            frames: frames.into(),
            passed: 0,
            playing,
            version: 0,
        };
        new.show();
        new
    }

    pub(super) fn size(&self) -> FrameSize {
        self.size
    }

    pub(super) fn playing(&self) -> &Playing {
        &self.playing
    }

    pub(super) fn version(&self) -> u64 {
        self.version
    }

    /// So many samples of the host were played.
    pub(super) fn pass(&mut self, samples: usize) {
        let hop = self.size.host_hop();
        let before = self.passed / hop;
        self.passed += samples;
        if self.passed / hop != before {
            self.show();
        }
    }

    pub(super) fn reset(&mut self) {
        self.passed = 0;
        self.show();
    }

    /// What is shown now is reached when the next frame's middle comes.
    fn show(&mut self) {
        let count = self.templates.count();
        let frame = self.passed / self.size.host_hop() + 1;
        let last = self.frames.len() / count - 1;
        let activations = &self.frames[frame.min(last) * count..][..count];
        self.energies.write(&self.templates, activations, &mut self.playing);
        self.playing.confidence = 1.0;
        self.version += 1;
    }
}

/// The mean of what smoothing forwards and what smoothing backwards gives.
fn smooth(frames: &mut [f32], count: usize) {
    let rows = frames.len() / count;
    let mut backwards = frames.to_vec();
    let run = |frames: &mut [f32], order: &mut dyn Iterator<Item = usize>| {
        let mut state = vec![0.0f32; count];
        for row in order {
            for (value, state) in frames[row * count..][..count].iter_mut().zip(&mut state) {
                let share = if *value > *state { Whole::RISE } else { Whole::FALL };
                *state += share * (*value - *state);
                *value = *state;
            }
        }
    };
    run(frames, &mut (0..rows));
    run(&mut backwards, &mut (0..rows).rev());
    frames.iter_mut().zip(&backwards).for_each(|(value, other)| *value = 0.5 * (*value + other));
}
