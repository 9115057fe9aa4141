//! What the engine asks while a take plays.

use super::frame::FrameSize;
use super::live::Live;
use super::source::Source;
use super::whole::Whole;
use crate::string::Playing;

/// Tells what the strings do, from the take itself.
#[derive(Debug, Clone)]
pub enum Follower {
    /// As it plays.
    Live(Box<Live>),
    /// As it is known from the whole take.
    Whole(Box<Whole>),
}

impl Follower {
    /// Follows as it plays, at the host's sample rate, in hertz.
    pub fn live(source: &Source, sample_rate: f64) -> Self {
        Self::Live(Box::new(Live::new(source, sample_rate)))
    }

    /// Knows the whole take, which then has to be played from its start.
    pub fn whole(source: &Source, sample_rate: f64, take: &[f32]) -> Self {
        Self::Whole(Box::new(Whole::new(source, sample_rate, take)))
    }

    /// Whether another one was made for the same guitar, circuit and rate: a clone of this one, or of one that it was cloned
    /// from.
    pub fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Live(one), Self::Live(other)) => one.is_like(other),
            _ => false,
        }
    }

    /// Lengths of the analysis.
    pub fn size(&self) -> FrameSize {
        match self {
            Self::Live(live) => live.size(),
            Self::Whole(whole) => whole.size(),
        }
    }

    /// What the strings do, as far as it is known.
    pub fn playing(&self) -> &Playing {
        match self {
            Self::Live(live) => live.playing(),
            Self::Whole(whole) => whole.playing(),
        }
    }

    /// Rises, from 1 on, whenever [`Follower::playing`] changes.
    pub fn version(&self) -> u64 {
        match self {
            Self::Live(live) => live.version(),
            Self::Whole(whole) => whole.version(),
        }
    }

    /// Whether anybody asks. While nobody does, it listens and works nothing out.
    pub fn set_active(&mut self, active: bool) {
        match self {
            Self::Live(live) => live.set_active(active),
            Self::Whole(_) => {}
        }
    }

    /// Takes the newest samples, one step of the control grid. Allocates nothing.
    pub fn hear(&mut self, step: &[f32]) {
        match self {
            Self::Live(live) => live.hear(step),
            Self::Whole(whole) => whole.pass(step.len()),
        }
    }

    /// Back to the beginning.
    pub fn reset(&mut self) {
        match self {
            Self::Live(live) => live.reset(),
            Self::Whole(whole) => whole.reset(),
        }
    }
}
