//! The newest samples of a take.

use super::frame::Frame;

/// As many samples as it has room for, by where they are in the take; silence where there were none.
#[derive(Debug, Clone)]
pub(super) struct Ring {
    samples: Vec<f32>,
    /// Samples that came.
    heard: usize,
}

impl Ring {
    /// With room for so many.
    pub(super) fn new(length: usize) -> Self {
        Self { samples: vec![0.0; length], heard: 0 }
    }

    /// Takes the next one.
    pub(super) fn push(&mut self, sample: f32) {
        let length = self.samples.len();
        self.samples[self.heard % length] = sample;
        self.heard += 1;
    }

    /// Samples that came.
    pub(super) fn heard(&self) -> usize {
        self.heard
    }

    /// A frame of that length around a place in the take: what is not there any more, or not yet, is silence.
    pub(super) fn around(&self, middle: usize, length: usize) -> Frame<'_> {
        let kept = self.heard.saturating_sub(self.samples.len());
        let (before, there) = Frame::ends(middle, length, kept..self.heard);
        Frame { before, pieces: self.pieces(there.start, there.len()) }
    }

    /// The last so many, oldest first.
    pub(super) fn last(&self, length: usize) -> Frame<'_> {
        Frame { before: 0, pieces: self.pieces(self.heard + self.samples.len() - length, length) }
    }

    /// So many samples from one of the take on, to the end of the ring and on from its beginning.
    fn pieces(&self, from: usize, count: usize) -> [&[f32]; 2] {
        let (newer, older) = self.samples.split_at(from % self.samples.len());
        let older = &older[..count.min(older.len())];
        [older, &newer[..count - older.len()]]
    }

    /// Forgets everything.
    pub(super) fn reset(&mut self) {
        self.samples.fill(0.0);
        self.heard = 0;
    }
}
