//! Following a take as it plays.

use std::sync::Arc;

mod bends;

use bends::Bends;

use super::certainty::certainty;
use super::decimator::Decimator;
use super::energies::StringEnergies;
use super::factorisation::Factorisation;
use super::frame::FrameSize;
use super::look::Look;
use super::naming::{HeardNote, Patience, Tracker};
use super::notes::Voices;
use super::prepared::Prepared;
use super::ring::Ring;
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
    short: Look,
    long: Look,
    weighted: Vec<f32>,
    level: f32,
    /// The strongest level so far, slowly forgotten.
    strongest: f32,
    factorisation: Factorisation,
    tracker: Tracker,
    bends: Bends,
    smoothed: Vec<f32>,
    energies: StringEnergies,
    playing: Playing,
    version: u64,
}

/// The slices in which the newest frame is worked on, each in a step of its own. None takes a tenth of a block of 64 samples; with
/// fewer of them what is found would be heard sooner, with more of them later.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Stage {
    Idle,
    Look,
    Update,
    LookLonger,
    Score,
    Show,
}

impl Live {
    /// How far a frame starts towards what is usual, rather than where the frame before ended.
    const RELAXED: f32 = 0.7;
    /// Rounds of the factorisation a frame, in two slices, and further ones once strings are named.
    const ROUNDS: [usize; 2] = [2, 4];
    const CORRECTIONS: usize = 4;
    /// Pitches that are scored a frame.
    const SCORED: usize = 3;
    /// Activations rise faster than they fall.
    const RISE: f32 = 0.5;
    const FALL: f32 = 0.2;
    /// Share of all activation that has to change for them to do so; what changes less is taken over more slowly, for most of
    /// it is an analysis that wavers.
    const CHANGED: f32 = 0.25;
    /// Strings are named down to this share of the strongest level.
    const NAMED: f32 = 0.01;

    pub(super) fn new(source: &Source, sample_rate: f64) -> Self {
        let prepared = Arc::new(Prepared::new(source, sample_rate, false));
        let Prepared { size, window, templates, energies, .. } = &*prepared;
        let voices = Arc::new(Voices::new(source, &size.lattice(), window, templates));
        let long = Arc::new(Window::asymmetric(2 * size.frame, 3 * size.frame / 16));
        Self {
            decimator: Decimator::new(size.halvings, size.host_hop()),
            ring: Ring::new(2 * size.frame),
            hops: 0,
            since: 0,
            stage: Stage::Idle,
            active: true,
            short: Look::new(window.clone(), size.rate, templates.bins),
            long: Look::new(long, size.rate, 0),
            weighted: vec![0.0; templates.bins],
            level: 0.0,
            strongest: 0.0,
            factorisation: Factorisation::new(templates),
            tracker: Tracker::new(&source.strings, templates, Patience::LIVE),
            bends: Bends::new(voices, templates, size.frame),
            smoothed: vec![0.0; templates.count()],
            energies: energies.clone(),
            playing: Playing::unknown(templates.strings, templates.points),
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
        &self.playing
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
        self.factorisation.forget(&self.prepared.templates);
        self.tracker.forget();
        self.bends.forget(self.ring.heard());
        self.hops = 0;
        self.smoothed.fill(0.0);
        self.strongest = 0.0;
        self.stage = Stage::Idle;
        self.playing.confidence = 0.0;
    }

    fn work(&mut self) {
        let prepared = self.prepared.clone();
        let templates = &prepared.templates;
        self.stage = match self.stage {
            Stage::Idle => Stage::Idle,
            Stage::Look => {
                self.bends.search(&self.ring);
                self.analyse(templates);
                self.start(templates);
                self.rounds(templates, Self::ROUNDS[0]);
                Stage::Update
            }
            Stage::Update => {
                self.rounds(templates, Self::ROUNDS[1]);
                Stage::LookLonger
            }
            Stage::LookLonger => self.look_longer(templates),
            Stage::Score => {
                for _ in 0..self.tracker.rounds(Self::SCORED) {
                    self.tracker.score_next(&self.short.peaks, &self.long.peaks);
                }
                Stage::Show
            }
            Stage::Show => {
                if self.names() {
                    self.name(templates);
                }
                self.show(templates);
                Stage::Idle
            }
        };
    }

    /// The weighted spectrum of the newest frame.
    fn analyse(&mut self, templates: &Templates) {
        self.short.at(self.ring.last(self.short.length()));
        self.level = self.short.weigh(templates, &mut self.weighted);
        self.strongest = self.level.max(0.995 * self.strongest);
        self.factorisation.take(&self.weighted);
    }

    /// Starts from where the last frame ended, in part, and with the strings as they were named.
    fn start(&mut self, templates: &Templates) {
        self.factorisation.relax(templates, Self::RELAXED);
        let notes = self.factorisation.activations.chunks_exact_mut(Templates::PER_NOTE).zip(self.tracker.factors());
        for (activations, factor) in notes {
            activations.iter_mut().for_each(|activation| *activation *= factor);
        }
        self.factorisation.estimate(templates);
    }

    fn look_longer(&mut self, templates: &Templates) -> Stage {
        self.factorisation.compete(templates);
        if !self.names() {
            self.bends.rest();
            return Stage::Show;
        }
        self.short.find_peaks();
        self.long.at(self.ring.last(self.long.length()));
        self.long.find_peaks();
        self.tracker.listen(templates, &self.factorisation.activations, self.level);
        Stage::Score
    }

    /// Whether strings are named in the newest frame.
    fn names(&self) -> bool {
        self.tracker.is_possible() && self.level >= Self::NAMED * self.strongest
    }

    fn rounds(&mut self, templates: &Templates, rounds: usize) {
        for _ in 0..rounds {
            self.factorisation.round(templates);
        }
    }

    /// Names strings, and moves what a pitch holds towards those it was found to be on.
    fn name(&mut self, templates: &Templates) {
        self.bends.hear(&self.tracker, self.hops, self.ring.heard());
        let bends = &self.bends;
        self.tracker.name(templates, |frame, note| bends.known(frame, note));
        self.factorisation.favour(templates, self.tracker.factors());
        self.factorisation.estimate(templates);
        self.rounds(templates, Self::CORRECTIONS);
        self.factorisation.compete(templates);
    }

    fn show(&mut self, templates: &Templates) {
        let activations = &self.factorisation.activations[..templates.count()];
        let calm = (change(activations, &self.smoothed) / Self::CHANGED).min(1.0);
        for (smoothed, &activation) in self.smoothed.iter_mut().zip(activations) {
            let heard = activation * self.level;
            let share = if heard > *smoothed { Self::RISE } else { Self::FALL };
            *smoothed += calm * share * (heard - *smoothed);
        }
        let bends = &self.bends;
        let is_bent = |template: usize| bends.of(template).is_some();
        let loudest = StringEnergies::write(templates, &self.smoothed, is_bent, &mut self.playing);
        self.bends.write(&self.smoothed, loudest, &mut self.playing);
        self.energies.fill(&mut self.playing);
        let certainty = certainty(self.factorisation.noise(templates));
        self.playing.confidence += Self::RISE * (certainty - self.playing.confidence);
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
