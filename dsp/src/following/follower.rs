//! What the engine asks while a take plays.

use super::ahead::Ahead;
use super::crew::Crew;
use super::frame::FrameSize;
use super::live::Live;
use super::naming::HeardNote;
use super::source::Source;
use super::whole::Whole;
use crate::string::Playing;

/// Tells what the strings do, from the take itself.
#[derive(Debug, Clone)]
pub enum Follower {
    /// As it plays.
    Live(Box<Live>),
    /// As it plays, heard later than it comes.
    Ahead(Box<Ahead>),
    /// As it is known from the whole take.
    Whole(Box<Whole>),
}

impl Follower {
    /// Follows as it plays, at the host's sample rate, in hertz.
    pub fn live(source: &Source, sample_rate: f64) -> Self {
        Self::Live(Box::new(Live::new(source, sample_rate)))
    }

    /// Follows as it plays, and looks ahead of what is heard: the take is to be delayed by [`Follower::latency`]. At the host's sample
    /// rate, in hertz.
    pub fn ahead(source: &Source, sample_rate: f64) -> Self {
        Self::Ahead(Box::new(Ahead::new(source, sample_rate)))
    }

    /// Knows the whole take, which then has to be played from its start. A crew of several is faster.
    pub fn whole(source: &Source, sample_rate: f64, take: &[f32], crew: &dyn Crew) -> Self {
        Self::Whole(Box::new(Whole::new(source, sample_rate, take, crew)))
    }

    /// Whether another one was made for the same guitar, circuit and rate: a clone of this one, or of one that it was cloned
    /// from.
    pub fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Live(one), Self::Live(other)) => one.is_like(other),
            (Self::Ahead(one), Self::Ahead(other)) => one.is_like(other),
            _ => false,
        }
    }

    /// Lengths of the analysis.
    pub fn size(&self) -> FrameSize {
        match self {
            Self::Live(live) => live.size(),
            Self::Ahead(ahead) => ahead.size(),
            Self::Whole(whole) => whole.size(),
        }
    }

    /// By how many samples of the host what is heard comes later than what [`Follower::hear`] takes.
    pub fn latency(&self) -> usize {
        match self {
            Self::Ahead(ahead) => ahead.latency(),
            Self::Live(_) | Self::Whole(_) => 0,
        }
    }

    /// What the strings do, as far as it is known.
    pub fn playing(&self) -> &Playing {
        match self {
            Self::Live(live) => live.playing(),
            Self::Ahead(ahead) => ahead.playing(),
            Self::Whole(whole) => whole.playing(),
        }
    }

    /// The notes that are heard as the take plays; none is told of a take that is known as a whole. Allocates nothing.
    pub fn heard(&self) -> impl Iterator<Item = HeardNote> + '_ {
        let (live, ahead) = match self {
            Self::Live(live) => (Some(live), None),
            Self::Ahead(ahead) => (None, Some(ahead)),
            Self::Whole(_) => (None, None),
        };
        live.into_iter().flat_map(|live| live.heard()).chain(ahead.into_iter().flat_map(|ahead| ahead.heard()))
    }

    /// Rises, from 1 on, whenever [`Follower::playing`] changes.
    pub fn version(&self) -> u64 {
        match self {
            Self::Live(live) => live.version(),
            Self::Ahead(ahead) => ahead.version(),
            Self::Whole(whole) => whole.version(),
        }
    }

    /// Whether anybody asks. While nobody does, it listens and works nothing out.
    pub fn set_active(&mut self, active: bool) {
        match self {
            Self::Live(live) => live.set_active(active),
            Self::Ahead(ahead) => ahead.set_active(active),
            Self::Whole(_) => {}
        }
    }

    /// Takes the newest samples, one step of the control grid. Allocates nothing.
    pub fn hear(&mut self, step: &[f32]) {
        match self {
            Self::Live(live) => live.hear(step),
            Self::Ahead(ahead) => ahead.hear(step),
            Self::Whole(whole) => whole.pass(step.len()),
        }
    }

    /// Back to the beginning.
    pub fn reset(&mut self) {
        match self {
            Self::Live(live) => live.reset(),
            Self::Ahead(ahead) => ahead.reset(),
            Self::Whole(whole) => whole.reset(),
        }
    }
}
