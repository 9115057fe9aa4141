//! Following a take as it plays.
//!
//! ```text
//! take ─> search: where notes begin ─> cuts: how much of a frame counts
//!      ─> factorisation: pitches in the newest frame, and their strings
//!      ─> fitting: the same frame by these notes at their pitch, shown at once
//! ```

mod cuts;
mod found;

use std::sync::Arc;

use cuts::Cuts;

use super::certainty::Noise;
use super::decimator::Decimator;
use super::factorisation::Factorisation;
use super::frame::FrameSize;
use super::look::Look;
use super::naming::{HeardNote, MOST_PITCHES, NoteEvidence, Patience, Tracker};
use super::notes::{Ear, Fitting, Plucks, Search, Shown, Voice, Voices};
use super::prepared::Prepared;
use super::ring::Ring;
use super::room::Room;
use super::source::Source;
use super::templates::Templates;
use super::window::Window;
use crate::string::Playing;

/// The real-time follower. After it is made it allocates, locks and waits for nothing, and its work is cut into slices by
/// the number of samples that came: what it finds never depends on time, and no step costs much more than another.
#[derive(Debug, Clone)]
pub struct Live {
    prepared: Arc<Prepared>,
    decimator: Decimator,
    ring: Ring,
    /// Samples since the last frame was taken.
    since: usize,
    /// Frames that were taken.
    hops: usize,
    stage: Stage,
    active: bool,
    search: Search,
    cuts: Cuts,
    short: Look,
    long: Look,
    weighted: Vec<f32>,
    level: f32,
    /// The strongest level so far, slowly forgotten.
    strongest: f32,
    factorisation: Factorisation,
    tracker: Tracker,
    plucks: Plucks,
    /// What is known about the notes of a frame: as they are in it, and about the plucks they come from.
    known: Room<(NoteEvidence, NoteEvidence)>,
    voices: Room<Voice>,
    fitting: Fitting,
    noise: Noise,
    /// Per note and manner.
    amplitudes: Vec<f32>,
    smoothed: Vec<f32>,
    shown: Shown,
    version: u64,
}

/// The slices in which the newest frame is worked on, each in a step of its own. With fewer of them what is found would be heard sooner,
/// with more of them later; where it is shown filters are made anew, and that is work enough for a block.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    Idle,
    Look,
    LookLonger,
    Score,
    Name,
    Fit,
    Show,
}

impl Live {
    /// Hops of the search that are waited for after a rise: none, for what began too late is mended by the next frame.
    const PATIENCE: usize = 0;
    /// How far a frame starts towards what is usual, rather than where the frame before ended.
    const RELAXED: f32 = 0.7;
    /// Rounds of the factorisation, by which pitches are found, and of the fit by the notes that are heard, in two slices.
    const ROUNDS: usize = 4;
    const FITS: [usize; 2] = [4, 6];
    /// Share of the strongest activation up to which a template is not tried in a fit.
    const SILENT: f32 = 2e-3;
    /// Pitches that are scored a frame.
    const SCORED: usize = 3;
    /// Amplitudes rise faster than they fall.
    const RISE: f32 = 0.5;
    const FALL: f32 = 0.2;
    /// Share of all amplitudes that has to change for them to do so; what changes less is taken over more slowly, for most of
    /// it is an analysis that wavers.
    const CHANGED: f32 = 0.25;
    /// Strings are named down to this share of the strongest level.
    const NAMED: f32 = 0.01;

    pub(super) fn new(source: &Source, sample_rate: f64) -> Self {
        let prepared = Arc::new(Prepared::new(source, sample_rate, false));
        let Prepared { size, templates, voices, energies } = &*prepared;
        let long = Arc::new(Window::asymmetric(2 * size.frame, 3 * size.frame / 16));
        let silence = vec![0.0; templates.pitches.len() * Voices::MANNERS];
        Self {
            decimator: Decimator::new(size.halvings, size.host_hop()),
            ring: Ring::new(2 * size.frame),
            hops: 0,
            since: 0,
            stage: Stage::Idle,
            active: true,
            search: Search::new(size.frame, Self::PATIENCE),
            cuts: Cuts::new(source, size, &templates.window),
            short: Look::new(templates.window.clone(), size.rate, templates.bins),
            long: Look::new(long, size.rate, 0),
            weighted: vec![0.0; templates.bins],
            level: 0.0,
            strongest: 0.0,
            factorisation: Factorisation::new(templates),
            tracker: Tracker::new(&source.strings, templates, Patience::LIVE),
            plucks: Plucks::new(),
            known: Room::for_up_to(MOST_PITCHES),
            voices: Room::for_up_to(Ear::VOICES),
            fitting: Fitting::new(voices.clone(), templates),
            noise: Noise::default(),
            amplitudes: silence.clone(),
            smoothed: silence,
            shown: Shown::new(voices.clone(), energies.clone(), templates),
            version: 1,
            prepared,
        }
    }

    /// Lengths of the analysis.
    pub fn size(&self) -> FrameSize {
        self.prepared.size
    }

    /// The notes that are heard, strongest first; none while nothing is loud enough to be named.
    pub fn heard(&self) -> impl Iterator<Item = HeardNote> + '_ {
        self.tracker.heard().filter(|_| self.names())
    }

    pub(super) fn is_like(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.prepared, &other.prepared)
    }

    pub(super) fn set_active(&mut self, active: bool) {
        if self.active && !active {
            self.forget();
        }
        self.active = active;
    }

    pub(super) fn playing(&self) -> &Playing {
        &self.shown.playing
    }

    pub(super) fn version(&self) -> u64 {
        self.version
    }

    /// Takes a step of samples at the host's rate, and does a slice of work.
    pub fn hear(&mut self, step: &[f32]) {
        for &sample in self.decimator.process(step) {
            self.ring.push(sample);
            self.since += 1;
        }
        let hop = self.prepared.size.hop;
        if !self.active {
            self.since %= hop;
            return;
        }
        if self.since >= hop {
            self.since -= hop;
            self.hops += 1;
            // Slices end within a hop; were one left, the newest frame would be worth more.
            self.stage = Stage::Look;
        }
        self.work();
    }

    pub(super) fn reset(&mut self) {
        self.decimator.reset();
        self.ring.reset();
        (self.since, self.version) = (0, 1);
        self.forget();
    }

    /// Forgets what was found.
    fn forget(&mut self) {
        self.search.forget(self.ring.heard());
        self.factorisation.forget(&self.prepared.templates);
        self.tracker.forget();
        self.plucks.forget();
        self.smoothed.fill(0.0);
        (self.hops, self.strongest, self.stage, self.noise) = (0, 0.0, Stage::Idle, Noise::default());
        self.shown.playing.confidence = 0.0;
    }

    fn work(&mut self) {
        let prepared = self.prepared.clone();
        let templates = &prepared.templates;
        self.stage = match self.stage {
            Stage::Idle => Stage::Idle,
            Stage::Look => {
                self.look(templates);
                self.find(templates);
                Stage::LookLonger
            }
            Stage::LookLonger if self.names() => {
                self.look_longer(templates);
                Stage::Score
            }
            Stage::LookLonger => Stage::Name,
            Stage::Score => {
                for _ in 0..self.tracker.rounds(Self::SCORED) {
                    self.tracker.score_next(&self.short.peaks, &self.long.peaks);
                }
                Stage::Name
            }
            Stage::Name => {
                self.voices.clear();
                if self.names() {
                    self.name(templates);
                }
                self.begin_fit(templates);
                self.fit(templates, Self::FITS[0]);
                Stage::Fit
            }
            Stage::Fit => {
                self.fit(templates, Self::FITS[1]);
                Stage::Show
            }
            Stage::Show => {
                self.finish_fit(templates);
                self.show();
                Stage::Idle
            }
        };
    }

    /// Whether strings are named in the newest frame.
    fn names(&self) -> bool {
        self.tracker.is_possible() && self.level >= Self::NAMED * self.strongest
    }

    /// The weighted spectrum of so much of the newest frame as counts.
    fn look(&mut self, templates: &Templates) {
        self.search.hear(&self.ring);
        self.cuts.choose(self.search.newest().map(|newest| self.ring.heard().saturating_sub(newest)));
        self.short.at(self.ring.last(self.short.length()));
        let cut = self.cuts.weigh(&self.ring, &mut self.weighted);
        self.level = cut.unwrap_or_else(|| self.short.weigh(templates, &mut self.weighted));
        self.strongest = self.level.max(0.995 * self.strongest);
    }

    /// Finds which pitches sound, starting in part from where the last frame ended, with the strings as they were named.
    fn find(&mut self, templates: &Templates) {
        self.factorisation.take(&self.weighted);
        self.factorisation.relax(templates, Self::RELAXED);
        let notes = self.factorisation.activations.chunks_exact_mut(Templates::PER_NOTE).zip(self.tracker.factors());
        for (activations, factor) in notes {
            activations.iter_mut().for_each(|activation| *activation *= factor);
        }
        let drawn = self.cuts.templates(templates);
        self.factorisation.estimate(drawn);
        for _ in 0..Self::ROUNDS {
            self.factorisation.round(drawn);
        }
        self.factorisation.compete(templates);
    }

    fn look_longer(&mut self, templates: &Templates) {
        self.short.find_peaks();
        self.long.at(self.ring.last(self.long.length()));
        self.long.find_peaks();
        self.tracker.listen(templates, &self.factorisation.activations, self.level);
    }
}
