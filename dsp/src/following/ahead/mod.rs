//! Following a take that is heard later than it comes.
//!
//! ```text
//! take ─> search: where notes begin
//!      ─> ear: pitches around a hop of which half a frame is known to either side, and their strings
//!      ─> fitting: the hop by these notes at their pitch, shown when it is heard
//! ```

mod found;
mod stage;

use std::sync::Arc;

use stage::Stage;

use super::certainty::Noise;
use super::decimator::Decimator;
use super::frame::FrameSize;
use super::look::Look;
use super::naming::{HeardNote, MOST_PITCHES, NoteEvidence, Patience};
use super::notes::{Ear, Fitting, Moment, Pluck, Plucks, Search, Shown, Sounding, Voice, Voices};
use super::prepared::Prepared;
use super::ring::Ring;
use super::room::Room;
use super::source::Source;
use super::templates::Templates;
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
    /// Work that is due, in the measure of [`Stage::left`], and how many pitches there were to be scored in the newest frame.
    due: f32,
    pitches: usize,
    search: Search,
    ear: Ear,
    plucks: Plucks,
    /// What was heard in the last hops.
    heard: [Room<(Pluck, NoteEvidence)>; Ahead::KEPT],
    /// Activations of all templates in them.
    activations: [Vec<f32>; Ahead::KEPT],
    /// What is known about the notes of a hop: as they are in it, and about the plucks they come from.
    known: Room<(NoteEvidence, NoteEvidence)>,
    voices: Room<Voice>,
    look: Look,
    weighted: Vec<f32>,
    level: f32,
    noise: Noise,
    fitting: Fitting,
    /// Where the newest fit looks; none before the first.
    moment: Option<Moment>,
    amplitudes: Vec<f32>,
    smoothed: Vec<f32>,
    next: Room<Sounding>,
    shown: Shown,
    version: u64,
}

impl Ahead {
    /// Hops from what comes to what is heard: half a frame after the middle of what is fitted, one in which the work is done,
    /// and one in which the sound moves on to what was found.
    const LATENCY: usize = Self::HALF + 2;
    /// Hops of half a frame.
    const HALF: usize = 4;
    /// Hops of which is kept what was heard: a moment is not further from its hop than the reach of half a frame.
    const KEPT: usize = 2 * Self::HALF;
    /// Hops of the search that are waited for after a rise: the middle of a frame has to be known before it is looked at.
    const PATIENCE: usize = 3;
    /// Rounds over all templates, by which pitches are found, and of a fit by the notes that are heard.
    const ROUNDS: usize = 6;
    const FITS: usize = 6;
    /// Share of the strongest activation up to which a template is not tried in a fit.
    const SILENT: f32 = 1e-3;
    /// Share of the longer frame in which it falls: it ends with what came, so that it weighs most what lies half a frame back.
    const LONG_FALL: f64 = 0.25;

    pub(super) fn new(source: &Source, sample_rate: f64) -> Self {
        let prepared = Arc::new(Prepared::new(source, sample_rate, true));
        let Prepared { size, templates, voices, energies } = &*prepared;
        let long = 2 * size.frame;
        let ear_window = Window::asymmetric(long, (Self::LONG_FALL * long as f64) as usize);
        let silence = vec![0.0; templates.pitches.len() * Voices::MANNERS];
        Self {
            decimator: Decimator::new(size.halvings, size.host_hop()),
            // While a hop is worked on, the next one comes.
            ring: Ring::new(long + size.hop),
            active: true,
            hops: 0,
            since: 0,
            stage: Stage::Idle,
            due: 0.0,
            pitches: 0,
            search: Search::new(size.frame, Self::PATIENCE),
            ear: Ear::new(source, &prepared, ear_window, Patience::WHOLE),
            plucks: Plucks::new(),
            heard: std::array::from_fn(|_| Room::for_up_to(MOST_PITCHES)),
            activations: std::array::from_fn(|_| vec![0.0; templates.count() + Templates::NOISES]),
            known: Room::for_up_to(MOST_PITCHES),
            voices: Room::for_up_to(Ear::VOICES),
            look: Look::new(templates.window.clone(), size.rate, templates.bins),
            weighted: vec![0.0; templates.bins],
            level: 0.0,
            noise: Noise::default(),
            fitting: Fitting::new(voices.clone(), templates),
            moment: None,
            amplitudes: silence.clone(),
            smoothed: silence,
            next: Room::for_up_to(templates.pitches.len()),
            shown: Shown::new(voices.clone(), energies.clone(), templates),
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
        // Where filters are made anew there is work enough.
        match turned {
            true => self.turn(),
            false => self.go_on(step.len() >> self.prepared.size.halvings),
        }
    }

    /// Does what is due in a step of so many samples, so that every step does as much and all is done in seven eighths of a hop.
    fn go_on(&mut self, step: usize) {
        if self.stage == Stage::Idle {
            return;
        }
        let until = 7 * self.prepared.size.hop / 8;
        let steps = until.saturating_sub(self.since).div_ceil(step.max(1)).max(1);
        self.due += self.stage.left(self.pitches) as f32 / steps as f32;
        while self.due > 0.0 && self.stage != Stage::Idle {
            self.due -= self.stage.cost() as f32;
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
        (self.moment, self.stage, self.noise) = (None, Stage::Idle, Noise::default());
        self.shown.playing.confidence = 0.0;
    }

    /// Shows what is heard at the end of the hop that begins, and goes on to the next.
    fn turn(&mut self) {
        while self.stage != Stage::Idle {
            self.work();
        }
        if self.moment.is_some() {
            self.shown.show(self.next.iter().copied(), self.noise.certainty());
            self.version += 1;
        }
        (self.stage, self.due) = (Stage::Search, 0.0);
    }

    /// The hop that is worked on: half a frame came after it.
    fn place(&self) -> Option<usize> {
        self.hops.checked_sub(Self::HALF)
    }

    fn work(&mut self) {
        let prepared = self.prepared.clone();
        let (templates, size) = (&prepared.templates, prepared.size);
        let Some(place) = self.place() else { return self.stage = Stage::Idle };
        match self.stage {
            Stage::Idle => {}
            Stage::Search => self.search.hear(&self.ring),
            Stage::Look => {
                if !self.ear.look(templates, self.ring.around(place * size.hop, size.frame)) {
                    return self.stage = Stage::Keep;
                }
            }
            Stage::Begin => self.ear.begin(templates),
            Stage::Round { .. } => self.ear.round(templates),
            Stage::Attend => {
                // The longer frame is as long again, and ends with what came.
                let middle = (self.hops * size.hop).saturating_sub(size.frame);
                self.ear.attend(templates, self.ring.around(middle, 2 * size.frame));
            }
            Stage::Listen => self.pitches = self.ear.listen(templates),
            Stage::Score { .. } => self.ear.score(),
            Stage::Keep => self.keep(templates, place),
            Stage::Prepare => {
                if !self.prepare(templates, place) {
                    return self.stage = Stage::Finish;
                }
            }
            Stage::Draw => self.draw(templates),
            Stage::Fit { .. } => self.fitting.round(templates, &self.weighted),
            Stage::Finish => self.finish(templates),
        }
        self.stage = self.stage.next(self.pitches);
    }
}
