//! What comes is heard later, where a follower looks ahead: samples, and what is asked for with them.

use super::scene::Scene;

/// Delays samples and scenes alike, by whole steps of the control grid, and keeps what came undelayed for the follower.
/// Allocates nothing after [`Delay::new`].
pub(super) struct Delay {
    /// Steps from what comes to what is heard.
    steps: usize,
    /// Per channel, the samples that are not heard yet; and where the oldest lies.
    samples: Vec<Vec<f32>>,
    oldest: usize,
    /// Samples that came, until there are as many as the latency.
    filled: usize,
    /// Samples of the current step that came.
    position: usize,
    /// A scene per step that is not heard yet; and where the oldest lies, none before the first.
    scenes: Vec<Scene>,
    oldest_scene: Option<usize>,
    /// Mean of all channels in the step that is coming, or came last.
    mean: Vec<f32>,
}

impl Delay {
    /// For that many channels, a step of the control grid, and a latency of so many samples at most; none at first.
    pub(super) fn new(channels: usize, step: usize, most: usize) -> Self {
        let most = most.next_multiple_of(step);
        Self {
            steps: 0,
            samples: vec![vec![0.0; most]; channels],
            oldest: 0,
            filled: 0,
            position: 0,
            scenes: vec![Scene::default(); most / step],
            oldest_scene: None,
            mean: vec![0.0; step],
        }
    }

    /// Samples from what comes to what is heard.
    pub(super) fn latency(&self) -> usize {
        self.steps * self.mean.len()
    }

    /// Samples of the current step that came: 0 to one less than a step.
    pub(super) fn position(&self) -> usize {
        self.position
    }

    /// Whether nothing is heard yet of what came.
    pub(super) fn is_filling(&self) -> bool {
        self.filled < self.latency()
    }

    /// Whether there is room for a latency.
    pub(super) fn has_room_for(&self, latency: usize) -> bool {
        latency <= self.scenes.len() * self.mean.len()
    }

    /// Begins anew with another latency, for which there is room, in samples: whole steps of the control grid.
    pub(super) fn set_latency(&mut self, latency: usize) {
        debug_assert!(latency.is_multiple_of(self.mean.len()), "{latency} samples are no whole steps");
        self.steps = latency / self.mean.len();
        self.reset();
    }

    /// Mean of all channels in the step that is complete.
    pub(super) fn came(&self) -> &[f32] {
        &self.mean
    }

    /// At a boundary of the control grid: takes what is asked for from here on, gives what was asked for when what is heard now
    /// came. Before that, what is asked for first.
    pub(super) fn scene(&mut self, scene: &Scene) -> Scene {
        let Some(last) = self.steps.checked_sub(1) else { return *scene };
        let at = match self.oldest_scene {
            Some(at) => at,
            None => {
                self.scenes.fill(*scene);
                0
            }
        };
        self.oldest_scene = Some(if at == last { 0 } else { at + 1 });
        std::mem::replace(&mut self.scenes[at], *scene)
    }

    /// Puts what is heard now in the place of what comes: the first samples of every channel, not beyond the end of the step.
    pub(super) fn samples(&mut self, channels: &mut [Vec<f32>], count: usize) {
        let mean = &mut self.mean[self.position..self.position + count];
        mean.fill(0.0);
        let share = 1.0 / channels.len().max(1) as f32;
        for channel in &*channels {
            mean.iter_mut().zip(channel).for_each(|(mean, sample)| *mean += share * sample);
        }
        self.position = (self.position + count) % self.mean.len();
        let latency = self.latency();
        if latency == 0 {
            return;
        }
        self.filled = (self.filled + count).min(latency);
        for (channel, kept) in channels.iter_mut().zip(&mut self.samples) {
            let (early, late) = kept[..latency].split_at_mut(self.oldest);
            let kept = late.iter_mut().chain(early);
            channel[..count].iter_mut().zip(kept).for_each(|(sample, kept)| std::mem::swap(sample, kept));
        }
        self.oldest = (self.oldest + count) % latency;
    }

    /// Forgets everything.
    pub(super) fn reset(&mut self) {
        self.samples.iter_mut().for_each(|samples| samples.fill(0.0));
        self.mean.fill(0.0);
        (self.oldest, self.filled, self.position, self.oldest_scene) = (0, 0, 0, None);
    }
}
