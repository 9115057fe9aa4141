//! The samples of the part of a step that is being computed.

/// Per channel: what was taken in and what the benches made of it; and the gains with which they are mixed.
pub(super) struct Buffers {
    pub(super) dry: Vec<Vec<f32>>,
    pub(super) benches: [Vec<Vec<f32>>; 2],
    /// Gains of dry, A and B.
    pub(super) shares: [Vec<f32>; 3],
    /// Another gain, for whoever needs it.
    pub(super) gain: Vec<f32>,
}

impl Buffers {
    const LOUDEST: f32 = 1e6;
    const QUIETEST: f32 = 1e-15;

    /// For this many channels and at most a step of samples.
    pub(super) fn new(channels: usize, step: usize) -> Self {
        let step = || vec![0.0; step];
        let all_channels = || vec![step(); channels];
        Self {
            dry: all_channels(),
            benches: [all_channels(), all_channels()],
            shares: [step(), step(), step()],
            gain: step(),
        }
    }

    /// Takes samples in, cleaned; missing channels are silent.
    pub(super) fn take(&mut self, channels: &[&mut [f32]], done: usize, samples: usize) {
        for (place, dry) in self.dry.iter_mut().enumerate() {
            let dry = &mut dry[..samples];
            match channels.get(place) {
                Some(channel) => dry.copy_from_slice(&channel[done..done + samples]),
                None => dry.fill(0.0),
            }
            dry.iter_mut().for_each(|sample| *sample = Self::clean(*sample));
        }
    }

    /// Mixes dry, A and B into the channels.
    pub(super) fn give(&self, channels: &mut [&mut [f32]], done: usize, samples: usize) {
        let [of_dry, of_a, of_b] = self.shares.each_ref().map(|share| &share[..samples]);
        for (place, channel) in channels.iter_mut().enumerate() {
            let dry = &self.dry[place][..samples];
            let [a, b] = self.benches.each_ref().map(|bench| &bench[place][..samples]);
            for (i, out) in channel[done..done + samples].iter_mut().enumerate() {
                *out = dry[i] * of_dry[i] + a[i] * of_a[i] + b[i] * of_b[i];
            }
        }
    }

    /// A comparison with a NaN is false, so it goes the way of the too loud.
    fn clean(sample: f32) -> f32 {
        if (Self::QUIETEST..=Self::LOUDEST).contains(&sample.abs()) { sample } else { 0.0 }
    }
}
