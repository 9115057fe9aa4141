//! What is known about one semitone.

use super::distinct::{MOST_STRINGS, Places};
use super::evidence::Evidence;

/// Overtones that are told apart: every second to every sixth partial.
pub(super) const MULTIPLES: usize = 5;

/// Evidence about one pitch, gathered while it sounds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pitch {
    /// Whether it sounds or did so lately.
    pub(super) known: bool,
    /// In which frame it was plucked.
    pub(super) plucked: u32,
    /// Frames since it began, and since it was last heard.
    pub(super) frames: u32,
    pub(super) idle: u32,
    /// Whether it was not scored since it was last heard.
    pub(super) waiting: bool,
    /// Strength, slowly.
    slow: f32,
    /// Per string, weighted sums of scores; and the sum of the weights.
    pub(super) score: [f32; MOST_STRINGS],
    pub(super) count: f32,
    pub(super) without: [[f32; MOST_STRINGS]; MULTIPLES],
    pub(super) unmasked: [f32; MOST_STRINGS],
    pub(super) unmasked_count: f32,
    /// Weighted sum of the best scores.
    pub(super) evidence: f32,
    /// The best score of late.
    pub(super) present: f32,
    pub(super) places: Places,
    /// Above its documented pitch, in cents.
    pub(super) cents: f32,
    /// The same per string that it may be on, in the newest frame.
    pub(super) cents_on: [f32; MOST_STRINGS],
    /// A lower pitch of which it may be an overtone, and whether it is.
    pub(super) below: Option<usize>,
    pub(super) ghost: bool,
}

impl Pitch {
    /// Frames for which one that does not sound any more is remembered.
    const MEMORY: u32 = 14;
    /// One that becomes this many times stronger was plucked anew.
    const PLUCKED: f32 = 1.6;
    /// What is left of the evidence then.
    const LEFT: f32 = 0.1;
    /// Share of the newest frame in what is heard of late.
    const NEWEST: f32 = 0.5;
    /// No frame weighs more.
    const MOST: f32 = 20.0;

    pub(super) fn silent() -> Self {
        Self {
            known: false,
            plucked: 0,
            frames: 0,
            idle: 0,
            waiting: false,
            slow: 0.0,
            score: [0.0; MOST_STRINGS],
            count: 1e-9,
            without: [[0.0; MOST_STRINGS]; MULTIPLES],
            unmasked: [0.0; MOST_STRINGS],
            unmasked_count: 1e-9,
            evidence: 0.0,
            present: 0.0,
            places: Places::UNKNOWN,
            cents: 0.0,
            cents_on: [0.0; MOST_STRINGS],
            below: None,
            ghost: false,
        }
    }

    /// Another frame, with its number, in which it sounds that strong or not.
    pub(super) fn age(&mut self, frame: u32, sounds: bool, strength: f32) {
        if !sounds {
            self.idle += 1;
            if self.known && self.idle > Self::MEMORY {
                *self = Self::silent();
            }
            return;
        }
        if !self.known {
            *self = Self { known: true, plucked: frame, slow: strength, ..Self::silent() };
        }
        if strength > Self::PLUCKED * self.slow && self.frames > 8 {
            self.fade(Self::LEFT);
            (self.plucked, self.frames) = (frame, 2);
        }
        self.slow += 0.15 * (strength - self.slow);
        self.frames += 1;
        self.idle = 0;
        self.waiting = true;
    }

    /// Whether it is new and was not scored yet.
    pub(super) fn is_urgent(&self) -> bool {
        self.waiting && self.frames < 12
    }

    /// Keeps a frame's evidence; `best` is the best score of a string that can play it.
    pub(super) fn keep(&mut self, frame: &Evidence, best: f32, keep: f32) {
        let weight = best.clamp(0.0, Self::MOST) + 0.3;
        let unmasked_best = frame.unmasked.iter().fold(0.0f32, |max, &value| max.max(value));
        let unmasked_weight = unmasked_best.min(Self::MOST) + 0.3;
        self.fade(keep);
        add(&mut self.score, &frame.score, weight);
        let newest = if self.count < 1e-6 { 1.0 } else { Self::NEWEST };
        self.present += newest * (best - self.present);
        self.count += weight;
        self.evidence += weight * best;
        add(&mut self.unmasked, &frame.unmasked, unmasked_weight);
        self.unmasked_count += unmasked_weight;
        for (sum, frame) in self.without.iter_mut().zip(&frame.without) {
            add(sum, frame, weight);
        }
    }

    /// The string it is most likely on.
    pub(super) fn string(&self, strings: usize) -> usize {
        (0..strings).max_by(|&a, &b| self.places.on[a].total_cmp(&self.places.on[b])).unwrap_or(0)
    }

    /// The same, or another where nothing is known.
    pub(super) fn string_or(&self, other: impl Fn() -> usize, strings: usize) -> usize {
        if self.places.on.iter().all(|&on| on == 0.0) { other() } else { self.string(strings) }
    }

    fn fade(&mut self, share: f32) {
        let lists = [&mut self.score, &mut self.unmasked].into_iter().chain(&mut self.without);
        lists.flatten().for_each(|value| *value *= share);
        self.count *= share;
        self.unmasked_count *= share;
        self.evidence *= share;
    }
}

fn add(sums: &mut [f32; MOST_STRINGS], values: &[f32; MOST_STRINGS], weight: f32) {
    sums.iter_mut().zip(values).for_each(|(sum, value)| *sum += weight * value);
}
