//! From the notes that are heard to what is shown.

use super::Live;
use crate::following::naming::MOST_PITCHES;
use crate::following::notes::{Fitting, Pluck, Sounding};
use crate::following::templates::Templates;

impl Live {
    /// Names strings: what is known about a note is what is known about the pluck it comes from.
    pub(super) fn name(&mut self, templates: &Templates) {
        self.plucks.begin(self.hops, self.search.moment(self.ring.heard()).segment);
        self.known.clear();
        for (frame, note) in self.tracker.notes().take(MOST_PITCHES) {
            let pluck = Pluck::new(frame, &note);
            self.plucks.hear(self.hops, pluck, &note);
            self.known.push((note, self.plucks.known(pluck).unwrap_or(note)));
        }
        self.tracker.voices(&self.known, &mut self.voices);
        let plucks = &self.plucks;
        self.tracker.name(templates, |frame, note| plucks.known(Pluck::new(frame, note)));
    }

    /// Begins to fit the frame by the notes that are heard.
    pub(super) fn begin_fit(&mut self, templates: &Templates) {
        let drawn = self.cuts.templates(templates);
        let tried = Fitting::worth_trying(&self.factorisation.activations, Self::SILENT);
        self.fitting.begin(drawn, &self.voices, &self.weighted, tried);
    }

    pub(super) fn fit(&mut self, templates: &Templates, rounds: usize) {
        let drawn = self.cuts.templates(templates);
        for _ in 0..rounds {
            self.fitting.round(drawn, &self.weighted);
        }
    }

    /// Takes over what was fitted; the next frame starts from it.
    pub(super) fn finish_fit(&mut self, templates: &Templates) {
        let drawn = self.cuts.templates(templates);
        self.fitting.write_activations(drawn, &mut self.factorisation.activations);
        self.noise.hear(self.fitting.noise(drawn), self.level);
        self.fitting.write_amplitudes(drawn, self.level, &mut self.amplitudes);
    }

    /// Shows what was fitted, smoothed.
    pub(super) fn show(&mut self) {
        let calm = (change(&self.amplitudes, &self.smoothed) / Self::CHANGED).min(1.0);
        for (smoothed, &amplitude) in self.smoothed.iter_mut().zip(&self.amplitudes) {
            let share = if amplitude > *smoothed { Self::RISE } else { Self::FALL };
            *smoothed += calm * share * (amplitude - *smoothed);
        }
        self.shown.show(Sounding::all(&self.smoothed, &self.voices), self.noise.certainty());
        self.version += 1;
    }
}

/// Share of the sum in which two lists differ, each relative to its own sum: from 0 to 1.
fn change(now: &[f32], before: &[f32]) -> f32 {
    let sum = |values: &[f32]| values.iter().sum::<f32>().max(f32::MIN_POSITIVE);
    let (of_now, of_before) = (sum(now), sum(before));
    let difference = |(now, before): (&f32, &f32)| (now / of_now - before / of_before).abs();
    0.5 * now.iter().zip(before).map(difference).sum::<f32>()
}
