//! Which pitches sound in a frame, and what it says about their strings.

use std::sync::Arc;

use crate::following::factorisation::Factorisation;
use crate::following::look::Look;
use crate::following::naming::{MOST_PITCHES, MOST_STRINGS, NoteEvidence, Patience, Tracker};
use crate::following::prepared::Prepared;
use crate::following::source::Source;
use crate::following::templates::Templates;
use crate::following::window::Window;

use super::plucks::Pluck;

/// Hears pitches frame by frame: [`Ear::look`], [`Ear::round`] so often as wanted, [`Ear::attend`], and [`Ear::score`] as often as
/// that says. Allocates nothing after [`Ear::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Ear {
    short: Look,
    long: Look,
    weighted: Vec<f32>,
    factorisation: Factorisation,
    pub(in crate::following) tracker: Tracker,
    strongest: f32,
}

/// Strings are named down to this share of the strongest level.
const NAMED: f32 = 0.003;

impl Ear {
    /// Voices that it can hear at most.
    pub(in crate::following) const VOICES: usize = MOST_PITCHES * MOST_STRINGS;
    /// How far a frame starts towards what is usual, rather than where the frame before ended.
    const RELAX: f32 = 0.3;
    const COMPETITION: f32 = 0.3;
    const COMPETITION_FLOOR: f32 = 1e-3;

    /// With a window for the frames that are twice as long.
    pub(in crate::following) fn new(source: &Source, prepared: &Prepared, long: Window, patience: Patience) -> Self {
        let Prepared { size, window, templates, .. } = prepared;
        Self {
            short: Look::new(window.clone(), size.rate, templates.bins),
            long: Look::new(Arc::new(long), size.rate, 0),
            weighted: vec![0.0; templates.bins],
            factorisation: Factorisation::new(templates),
            tracker: Tracker::new(&source.strings, templates, patience),
            strongest: 0.0,
        }
    }

    /// Samples of a frame, and of one that is twice as long.
    pub(in crate::following) fn lengths(&self) -> [usize; 2] {
        [self.short.length(), self.long.length()]
    }

    /// Forgets everything.
    pub(in crate::following) fn forget(&mut self, templates: &Templates) {
        self.factorisation.forget(templates);
        self.tracker.forget();
        self.strongest = 0.0;
    }

    /// Takes a frame; whether there is anything to be heard in it.
    pub(in crate::following) fn look<'a>(
        &mut self,
        templates: &Templates,
        frame: impl Iterator<Item = &'a f32>,
    ) -> bool {
        self.short.at(frame);
        let level = self.short.weigh(templates, &mut self.weighted);
        self.strongest = level.max(self.strongest);
        if !self.tracker.is_possible() || level < NAMED * self.strongest {
            self.tracker.rest();
            return false;
        }
        self.factorisation.take(&self.weighted);
        self.factorisation.relax(templates, Self::RELAX);
        self.factorisation.estimate(templates);
        true
    }

    /// One round over all templates.
    pub(in crate::following) fn round(&mut self, templates: &Templates) {
        self.factorisation.round(templates);
    }

    /// Tells which pitches sound, and takes the frame that is twice as long. How many pitches are to be scored.
    pub(in crate::following) fn attend<'a>(
        &mut self,
        templates: &Templates,
        frame: impl Iterator<Item = &'a f32>,
    ) -> usize {
        self.factorisation.compete(templates, Self::COMPETITION, Self::COMPETITION_FLOOR);
        self.long.at(frame);
        self.short.find_peaks();
        self.long.find_peaks();
        self.tracker.listen(templates, &self.factorisation.activations);
        self.tracker.rounds(usize::MAX)
    }

    /// Scores the next pitch.
    pub(in crate::following) fn score(&mut self) {
        self.tracker.score_next(&self.short.peaks, &self.long.peaks);
    }

    /// What is heard in the frame, with what is known about it so far.
    pub(in crate::following) fn heard(&self) -> impl Iterator<Item = (Pluck, NoteEvidence)> + '_ {
        self.tracker.notes().map(|(frame, note)| (Pluck::new(frame, &note), note))
    }
}
