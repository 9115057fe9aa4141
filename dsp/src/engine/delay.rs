//! What comes is heard later, where a follower looks ahead: samples, and what is asked for with them.

use super::scene::Scene;

/// Delays samples and scenes alike, by whole steps of the control grid, and keeps what came undelayed for the follower.
/// Allocates nothing after [`Delay::new`].
pub(super) struct Delay {
    /// Per channel, the samples that are not heard yet; and where the oldest lies.
    samples: Vec<Vec<f32>>,
    oldest: usize,
    /// A scene per step that is not heard yet; none before the first.
    scenes: Vec<Scene>,
    oldest_scene: Option<usize>,
    /// Mean of all channels in the step that is coming, or came last.
    mean: Vec<f32>,
}

impl Delay {
    /// For that many channels, a step of the control grid, and a latency of whole steps.
    pub(super) fn new(channels: usize, step: usize, latency: usize) -> Self {
        debug_assert!(latency.is_multiple_of(step), "{latency} samples are no whole steps of {step}");
        Self {
            samples: vec![vec![0.0; latency]; channels],
            oldest: 0,
            scenes: vec![Scene::default(); latency / step],
            oldest_scene: None,
            mean: vec![0.0; step],
        }
    }

    /// Samples from what comes to what is heard.
    pub(super) fn latency(&self) -> usize {
        self.scenes.len() * self.mean.len()
    }

    /// Mean of all channels in the step that is complete.
    pub(super) fn came(&self) -> &[f32] {
        &self.mean
    }

    /// At a boundary of the control grid: takes what is asked for from here on, gives what was asked for when what is heard now
    /// came. Before that, what is asked for first.
    pub(super) fn scene(&mut self, scene: &Scene) -> Scene {
        let Some(last) = self.scenes.len().checked_sub(1) else { return *scene };
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

    /// Puts what is heard now in the place of what comes, one slice per channel, of the samples from `position` on of a step.
    pub(super) fn samples(&mut self, channels: &mut [Vec<f32>], position: usize, count: usize) {
        let mean = &mut self.mean[position..position + count];
        mean.fill(0.0);
        let share = 1.0 / channels.len().max(1) as f32;
        for channel in &*channels {
            mean.iter_mut().zip(channel).for_each(|(mean, sample)| *mean += share * sample);
        }
        let latency = self.latency();
        if latency == 0 {
            return;
        }
        for (channel, kept) in channels.iter_mut().zip(&mut self.samples) {
            let (early, late) = kept.split_at_mut(self.oldest);
            let kept = late.iter_mut().chain(early);
            channel[..count].iter_mut().zip(kept).for_each(|(sample, kept)| std::mem::swap(sample, kept));
        }
        self.oldest = (self.oldest + count) % latency;
    }

    /// Forgets everything.
    pub(super) fn reset(&mut self) {
        self.samples.iter_mut().for_each(|samples| samples.fill(0.0));
        self.mean.fill(0.0);
        (self.oldest, self.oldest_scene) = (0, None);
    }
}
