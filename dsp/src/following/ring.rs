//! The newest samples of a take.

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
    pub(super) fn around(&self, middle: usize, length: usize) -> impl Iterator<Item = &f32> {
        let half = length / 2;
        let kept = self.heard.saturating_sub(self.samples.len());
        let from = middle.saturating_sub(half).max(kept);
        let to = (middle + length - half).min(self.heard).max(from);
        let (newer, older) = self.samples.split_at(from % self.samples.len());
        let before = std::iter::repeat_n(&0.0, (from + half - middle).min(length));
        let after = std::iter::repeat(&0.0);
        before.chain(older.iter().chain(newer).take(to - from)).chain(after).take(length)
    }

    /// The last so many, oldest first.
    pub(super) fn last(&self, length: usize) -> impl Iterator<Item = &f32> {
        let (newer, older) = self.samples.split_at(self.heard % self.samples.len());
        older.iter().chain(newer).skip(self.samples.len() - length)
    }

    /// Forgets everything.
    pub(super) fn reset(&mut self) {
        self.samples.fill(0.0);
        self.heard = 0;
    }
}
