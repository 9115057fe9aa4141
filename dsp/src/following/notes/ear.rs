//! Which pitches sound in a frame, and what it says about their strings.

use std::sync::Arc;

use crate::following::factorisation::Factorisation;
use crate::following::frame::Frame;
use crate::following::look::Look;
use crate::following::naming::{MOST_PITCHES, MOST_STRINGS, NoteEvidence, Patience, Peaks, Tracker};
use crate::following::prepared::Prepared;
use crate::following::source::Source;
use crate::following::templates::Templates;
use crate::following::window::Window;

use super::plucks::Pluck;

/// Hears pitches frame by frame: [`Ear::look`], [`Ear::round`] so often as wanted, [`Ear::attend`], and [`Ear::score`] as often as
/// that says. Allocates nothing after [`Ear::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Ear {
    glance: Glance,
    pub(in crate::following) tracker: Tracker,
    level: f32,
    strongest: f32,
}

/// What a frame shows to somebody who remembers the one before, at most: [`Glance::look`], [`Glance::round`] so often as wanted,
/// [`Glance::attend`]. Allocates nothing after [`Glance::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Glance {
    short: Look,
    long: Look,
    weighted: Vec<f32>,
    factorisation: Factorisation,
}

/// What was seen at a glance.
#[derive(Debug)]
pub(in crate::following) struct Seen {
    level: f32,
    activations: Vec<f32>,
    short: Peaks,
    long: Peaks,
}

/// How far a frame starts towards what is usual, rather than where the frame before ended. With half a frame more to look at, what
/// was before helps more than as a take plays.
const RELAXED: f32 = 0.3;
/// Strings are named down to this share of the strongest level.
const NAMED: f32 = 0.003;

impl Ear {
    /// Voices that it can hear at most.
    pub(in crate::following) const VOICES: usize = MOST_PITCHES * MOST_STRINGS;

    /// With a window for the frames that are twice as long.
    pub(in crate::following) fn new(source: &Source, prepared: &Prepared, long: Window, patience: Patience) -> Self {
        Self {
            glance: Glance::new(prepared, long),
            tracker: Tracker::new(&source.strings, &prepared.templates, patience),
            level: 0.0,
            strongest: 0.0,
        }
    }

    /// Forgets everything.
    pub(in crate::following) fn forget(&mut self, templates: &Templates) {
        self.glance.forget(templates);
        self.tracker.forget();
        self.strongest = 0.0;
    }

    /// What it sees frames with; somebody else may look with a clone.
    pub(in crate::following) fn glance(&self) -> &Glance {
        &self.glance
    }

    /// Takes a frame; whether there is anything to be heard in it.
    pub(in crate::following) fn look(&mut self, templates: &Templates, frame: Frame<'_>) -> bool {
        let level = self.glance.look(templates, frame);
        self.is_loud_enough(level)
    }

    /// Begins to take a frame apart that is loud enough.
    pub(in crate::following) fn begin(&mut self, templates: &Templates) {
        self.glance.begin(templates);
    }

    /// One round over all templates.
    pub(in crate::following) fn round(&mut self, templates: &Templates) {
        self.glance.round(templates);
    }

    /// Activations of all templates in the newest frame in which anything was heard.
    pub(in crate::following) fn activations(&self) -> &[f32] {
        &self.glance.factorisation.activations
    }

    /// The weighted spectrum of the newest frame, of sum 1, and what its sum was.
    pub(in crate::following) fn weighted(&self) -> (&[f32], f32) {
        (&self.glance.weighted, self.level)
    }

    /// Takes the frame that is twice as long.
    pub(in crate::following) fn attend(&mut self, templates: &Templates, frame: Frame<'_>) {
        self.glance.attend(templates, frame);
    }

    /// Tells which pitches sound; how many of them are to be scored.
    pub(in crate::following) fn listen(&mut self, templates: &Templates) -> usize {
        self.glance.find_peaks();
        self.tracker.listen(templates, &self.glance.factorisation.activations, self.level);
        self.tracker.rounds(usize::MAX)
    }

    /// Scores the next pitch.
    pub(in crate::following) fn score(&mut self) {
        self.tracker.score_next(&self.glance.short.peaks, &self.glance.long.peaks);
    }

    /// Takes all of a frame at once, as it was seen at a glance by somebody else.
    pub(in crate::following) fn take(&mut self, templates: &Templates, seen: &Seen) {
        if self.is_loud_enough(seen.level) {
            self.tracker.listen(templates, &seen.activations, seen.level);
            for _ in 0..self.tracker.rounds(usize::MAX) {
                self.tracker.score_next(&seen.short, &seen.long);
            }
        }
    }

    /// What is heard in the frame, with what is known about it so far.
    pub(in crate::following) fn heard(&self) -> impl Iterator<Item = (Pluck, NoteEvidence)> + '_ {
        self.tracker.notes().map(|(frame, note)| (Pluck::new(frame, &note), note))
    }

    fn is_loud_enough(&mut self, level: f32) -> bool {
        self.level = level;
        self.strongest = level.max(self.strongest);
        let enough = self.tracker.is_possible() && level >= NAMED * self.strongest;
        if !enough {
            self.tracker.rest();
        }
        enough
    }
}

impl Glance {
    /// With a window for the frames that are twice as long.
    pub(in crate::following) fn new(prepared: &Prepared, long: Window) -> Self {
        let Prepared { size, templates, .. } = prepared;
        Self {
            short: Look::new(templates.window.clone(), size.rate, templates.bins),
            long: Look::new(Arc::new(long), size.rate, 0),
            weighted: vec![0.0; templates.bins],
            factorisation: Factorisation::new(templates),
        }
    }

    /// Samples of a frame, and of one that is twice as long.
    pub(in crate::following) fn lengths(&self) -> [usize; 2] {
        [self.short.length(), self.long.length()]
    }

    /// Forgets the frame before.
    pub(in crate::following) fn forget(&mut self, templates: &Templates) {
        self.factorisation.forget(templates);
    }

    /// Takes a frame; its level.
    pub(in crate::following) fn look(&mut self, templates: &Templates, frame: Frame<'_>) -> f32 {
        self.short.at(frame);
        self.short.weigh(templates, &mut self.weighted)
    }

    /// Begins to take it apart.
    pub(in crate::following) fn begin(&mut self, templates: &Templates) {
        self.factorisation.take(&self.weighted);
        self.factorisation.relax(templates, RELAXED);
        self.factorisation.estimate(templates);
    }

    /// One round over all templates.
    pub(in crate::following) fn round(&mut self, templates: &Templates) {
        self.factorisation.round(templates);
    }

    /// Ends the rounds, and takes the frame that is twice as long.
    pub(in crate::following) fn attend(&mut self, templates: &Templates, frame: Frame<'_>) {
        self.factorisation.compete(templates);
        self.long.at(frame);
    }

    /// Finds the peaks of both frames.
    pub(in crate::following) fn find_peaks(&mut self) {
        self.short.find_peaks();
        self.long.find_peaks();
    }

    /// What was seen, of that level.
    pub(in crate::following) fn seen(&self, level: f32) -> Seen {
        let (short, long) = (self.short.peaks.clone(), self.long.peaks.clone());
        Seen { level, activations: self.factorisation.activations.clone(), short, long }
    }
}
