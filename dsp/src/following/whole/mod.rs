//! Following a take that is known from beginning to end.
//!
//! ```text
//! take ─> moments: frames that do not look across the beginning of a note
//!      ─> listening: pitches, and what the whole of each note says about its string
//!      ─> sounding: every moment fitted by these notes at their pitch, smoothed forwards and backwards
//! ```

mod listening;
mod moments;
mod sounding;

use std::sync::Arc;

use listening::listen;
use moments::moments;
use sounding::{Hop, sounding};

use super::crew::Crew;
use super::decimator::Decimator;
use super::frame::FrameSize;
use super::notes::{Fitting, Shown};
use super::prepared::Prepared;
use super::source::Source;
use crate::string::Playing;

/// What a whole take says about its strings, hop by hop.
#[derive(Debug, Clone)]
pub struct Whole {
    size: FrameSize,
    /// Shared by clones, as all that does not change.
    hops: Arc<[Hop]>,
    /// Samples of the host that were played.
    passed: usize,
    shown: Shown,
    version: u64,
}

impl Whole {
    pub(super) fn new(source: &Source, sample_rate: f64, take: &[f32], crew: &dyn Crew) -> Self {
        let prepared = Prepared::new(source, sample_rate, true);
        let Prepared { size, templates, voices, energies } = &prepared;
        let mut decimator = Decimator::new(size.halvings, take.len());
        let samples = decimator.process(take);
        let moments = moments(samples, size.frame, size.hop);
        let heard = listen(source, &prepared, samples, &moments, crew);
        let fitting = Fitting::new(voices.clone(), templates);
        let hops = sounding(&prepared, samples, &moments, &heard, (&fitting, crew));
        let mut new = Self {
            size: *size,
            hops: hops.into(),
            passed: 0,
            shown: Shown::new(voices.clone(), energies.clone(), templates),
            version: 0,
        };
        new.show();
        new
    }

    pub(super) fn size(&self) -> FrameSize {
        self.size
    }

    pub(super) fn playing(&self) -> &Playing {
        &self.shown.playing
    }

    pub(super) fn version(&self) -> u64 {
        self.version
    }

    /// So many samples of the host were played.
    pub(super) fn pass(&mut self, samples: usize) {
        let hop = self.size.host_hop();
        let before = self.passed / hop;
        self.passed += samples;
        if self.passed / hop != before {
            self.show();
        }
    }

    pub(super) fn reset(&mut self) {
        self.passed = 0;
        self.show();
    }

    /// What is shown now is reached when the next hop comes.
    fn show(&mut self) {
        let hop = (self.passed / self.size.host_hop() + 1).min(self.hops.len() - 1);
        let Hop { sounding, certainty } = &self.hops[hop];
        self.shown.show(sounding.iter().copied(), *certainty);
        self.version += 1;
    }
}
