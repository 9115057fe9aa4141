//! Following a take that is heard later than it comes.
//!
//! ```text
//! take ─> search: where notes begin
//!      ─> ear: pitches around a hop of which half a frame is known to either side, and their strings
//!      ─> fitting: the hop by these notes at their pitch, shown when it is heard
//! ```

mod found;

use std::sync::Arc;

use super::decimator::Decimator;
use super::frame::FrameSize;
use super::look::Look;
use super::naming::{HeardNote, MOST_PITCHES, NoteEvidence, Patience};
use super::notes::{Ear, Fitting, Moment, Pluck, Plucks, Search, Shown, Sounding, Voice, Voices};
use super::prepared::Prepared;
use super::ring::Ring;
use super::room::Room;
use super::source::Source;
use super::window::Window;
use crate::string::Playing;

/// The follower that hears a take before it is heard. After it is made it allocates, locks and waits for nothing, and its work is
/// cut into slices by the number of samples that came: what it finds never depends on time, and no step costs much more than
/// another.
#[derive(Debug, Clone)]
pub struct Ahead {
    prepared: Arc<Prepared>,
    decimator: Decimator,
    ring: Ring,
    active: bool,
    /// Hops that came, and samples since.
    hops: usize,
    since: usize,
    stage: Stage,
    /// Slices of work that were done in this hop.
    done: usize,
    search: Search,
    ear: Ear,
    plucks: Plucks,
    /// What was heard in the last hops.
    heard: [Room<(Pluck, NoteEvidence)>; Ahead::KEPT],
    /// What is known about the notes of a hop: as they are in it, and about the plucks they come from.
    known: Room<(NoteEvidence, NoteEvidence)>,
    voices: Room<Voice>,
    look: Look,
    weighted: Vec<f32>,
    level: f32,
    fitting: Fitting,
    /// Where the newest fit looks; none before the first.
    moment: Option<Moment>,
    amplitudes: Vec<f32>,
    smoothed: Vec<f32>,
    next: Room<Sounding>,
    shown: Shown,
    version: u64,
}

/// What is done next for the newest hop.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    Idle,
    Search,
    Look,
    Round { left: usize },
    Attend,
    Score { left: usize },
    Keep,
    Prepare,
    Draw { place: usize },
    Fit { left: usize },
    Finish,
}

impl Ahead {
    /// Hops from what comes to what is heard: half a frame after the middle of what is fitted, one in which the work is done,
    /// and one in which the sound moves on to what was found.
    const LATENCY: usize = Self::HALF + 2;
    /// Hops of half a frame.
    const HALF: usize = 4;
    /// Hops of which is kept what was heard: a moment is not further from its hop than the reach of half a frame.
    const KEPT: usize = 2 * Self::HALF;
    /// Rounds over all templates, by which pitches are found, and of a fit by the notes that are heard.
    const ROUNDS: usize = 6;
    const FITS: usize = 6;
    /// Share of the strongest activation below which a row is left out of a fit.
    const WEAK: f32 = 1e-3;
    /// Notes that are drawn in one slice.
    const DRAWN: usize = 2;
    /// Slices of work a hop, at most.
    const SLICES: usize = 6 + Self::ROUNDS + MOST_PITCHES + Fitting::MOST / Self::DRAWN + Self::FITS;
    /// Share of the longer frame in which it falls: it ends with what came, so that it weighs most what lies half a frame back.
    const LONG_FALL: f64 = 0.25;

    pub(super) fn new(source: &Source, sample_rate: f64) -> Self {
        let prepared = Arc::new(Prepared::new(source, sample_rate, true));
        let Prepared { size, window, templates, energies } = &*prepared;
        let long = 2 * size.frame;
        let ear_window = Window::asymmetric(long, (Self::LONG_FALL * long as f64) as usize);
        let voices = Arc::new(Voices::new(source, &size.lattice(), window, templates));
        let silence = vec![0.0; templates.pitches.len() * Voices::MANNERS];
        Self {
            decimator: Decimator::new(size.halvings, size.host_hop()),
            ring: Ring::new(long),
            active: true,
            hops: 0,
            since: 0,
            stage: Stage::Idle,
            done: 0,
            search: Search::new(size.frame),
            ear: Ear::new(source, &prepared, ear_window, Patience::WHOLE),
            plucks: Plucks::new(),
            heard: std::array::from_fn(|_| Room::for_up_to(MOST_PITCHES)),
            known: Room::for_up_to(MOST_PITCHES),
            voices: Room::for_up_to(Ear::VOICES),
            look: Look::new(window.clone(), size.rate, templates.bins),
            weighted: vec![0.0; templates.bins],
            level: 0.0,
            fitting: Fitting::new(voices.clone(), templates, Self::WEAK),
            moment: None,
            amplitudes: silence.clone(),
            smoothed: silence,
            next: Room::for_up_to(templates.pitches.len()),
            shown: Shown::new(voices, energies.clone(), templates),
            version: 1,
            prepared,
        }
    }

    pub(super) fn size(&self) -> FrameSize {
        self.prepared.size
    }

    /// By how many samples of the host the take is heard later than it comes.
    pub(super) fn latency(&self) -> usize {
        Self::LATENCY * self.prepared.size.host_hop()
    }

    /// The notes that are heard, a little before the listener hears them.
    pub fn heard(&self) -> impl Iterator<Item = HeardNote> + '_ {
        self.ear.tracker.heard()
    }

    pub(super) fn is_like(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.prepared, &other.prepared)
    }

    pub(super) fn playing(&self) -> &Playing {
        &self.shown.playing
    }

    pub(super) fn version(&self) -> u64 {
        self.version
    }

    pub(super) fn set_active(&mut self, active: bool) {
        if self.active && !active {
            self.forget();
        }
        self.active = active;
    }

    /// Takes a step of samples at the host's rate, and does a slice of work.
    pub(super) fn hear(&mut self, step: &[f32]) {
        for &sample in self.decimator.process(step) {
            self.ring.push(sample);
            self.since += 1;
        }
        let hop = self.prepared.size.hop;
        let turned = self.since >= hop;
        if turned {
            self.since -= hop;
            self.hops += 1;
        }
        if !self.active {
            return;
        }
        if turned {
            self.turn();
        }
        // All is done in seven eighths of a hop.
        let due = 1 + Self::SLICES * 8 * self.since / (7 * hop);
        while self.done < due && self.stage != Stage::Idle {
            self.work();
        }
    }

    pub(super) fn reset(&mut self) {
        self.decimator.reset();
        self.ring.reset();
        (self.hops, self.since, self.version) = (0, 0, 1);
        self.forget();
    }

    /// Forgets what was found.
    fn forget(&mut self) {
        self.search.forget(self.ring.heard());
        self.ear.forget(&self.prepared.templates);
        self.plucks.forget();
        self.heard.iter_mut().for_each(|heard| heard.clear());
        (self.moment, self.stage) = (None, Stage::Idle);
        self.shown.playing.confidence = 0.0;
    }

    /// Shows what is heard at the end of the hop that begins, and goes on to the next.
    fn turn(&mut self) {
        while self.stage != Stage::Idle {
            self.work();
        }
        if self.moment.is_some() {
            self.shown.show(self.next.iter().copied());
            self.version += 1;
        }
        (self.stage, self.done) = (Stage::Search, 0);
    }

    /// The hop that is worked on: half a frame came after it.
    fn place(&self) -> Option<usize> {
        self.hops.checked_sub(Self::HALF)
    }

    fn work(&mut self) {
        let prepared = self.prepared.clone();
        let (templates, size) = (&prepared.templates, prepared.size);
        let Some(place) = self.place() else { return self.stage = Stage::Idle };
        self.done += 1;
        self.stage = match self.stage {
            Stage::Idle => Stage::Idle,
            Stage::Search => {
                self.search.hear(&self.ring);
                Stage::Look
            }
            Stage::Look => match self.ear.look(templates, self.ring.around(place * size.hop, size.frame)) {
                true => Stage::Round { left: Self::ROUNDS },
                false => Stage::Keep,
            },
            Stage::Round { left } => {
                self.ear.round(templates);
                if left > 1 { Stage::Round { left: left - 1 } } else { Stage::Attend }
            }
            Stage::Attend => {
                // The longer frame is as long again, and ends with what came.
                let middle = (self.hops * size.hop).saturating_sub(size.frame);
                Stage::Score { left: self.ear.attend(templates, self.ring.around(middle, 2 * size.frame)) }
            }
            Stage::Score { left: 0 } => Stage::Keep,
            Stage::Score { left } => {
                self.ear.score();
                Stage::Score { left: left - 1 }
            }
            Stage::Keep => {
                self.keep(templates, place);
                Stage::Prepare
            }
            Stage::Prepare => self.prepare(templates, place),
            Stage::Draw { place } => self.draw(templates, place),
            Stage::Fit { left } => {
                self.fitting.round(templates, &self.weighted);
                if left > 1 { Stage::Fit { left: left - 1 } } else { Stage::Finish }
            }
            Stage::Finish => {
                self.finish();
                Stage::Idle
            }
        };
    }
}
