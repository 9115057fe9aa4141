//! From the host's rate to the analysis's.

use std::f64::consts::PI;

use super::room::Room;

/// Halves a rate as often as needed. Each stage is a half-band filter of linear phase: flat (within 0.01 dB) up to a fifth of
/// the halved rate, which is all that the analysis looks at, and 80 dB down where that would fold back into it.
#[derive(Debug, Clone)]
pub(super) struct Decimator {
    stages: Vec<Stage>,
}

#[derive(Debug, Clone)]
struct Stage {
    taps: [f32; TAPS],
    history: [f32; TAPS],
    newest: usize,
    odd: bool,
    out: Room<f32>,
}

const TAPS: usize = 23;

impl Decimator {
    /// Halves `halvings` times; takes at most `most` samples at once.
    pub(super) fn new(halvings: u32, most: usize) -> Self {
        let stage = |n| Stage {
            taps: half_band(),
            history: [0.0; TAPS],
            newest: 0,
            odd: false,
            out: Room::for_up_to((most >> n) + 1),
        };
        Self { stages: (0..halvings).map(stage).collect() }
    }

    /// The samples at the lower rate.
    pub(super) fn process<'a>(&'a mut self, samples: &'a [f32]) -> &'a [f32] {
        let mut current = samples;
        for stage in &mut self.stages {
            current = stage.process(current);
        }
        current
    }

    pub(super) fn reset(&mut self) {
        for stage in &mut self.stages {
            (stage.history, stage.newest, stage.odd) = ([0.0; TAPS], 0, false);
        }
    }
}

impl Stage {
    fn process(&mut self, samples: &[f32]) -> &[f32] {
        self.out.clear();
        for &sample in samples {
            self.newest = (self.newest + 1) % TAPS;
            self.history[self.newest] = sample;
            self.odd = !self.odd;
            if !self.odd {
                let value = |k: usize| self.taps[k] * self.history[(self.newest + TAPS - k) % TAPS];
                self.out.push((0..TAPS).map(value).sum());
            }
        }
        &self.out
    }
}

/// A sinc with zeros at every second tap, under a Blackman window (Oppenheim and Schafer).
fn half_band() -> [f32; TAPS] {
    let middle = (TAPS / 2) as f64;
    let mut taps: [f64; TAPS] = std::array::from_fn(|n| {
        let x = n as f64 - middle;
        let sinc = if x == 0.0 { 0.5 } else { (PI * x / 2.0).sin() / (PI * x) };
        let turn = 2.0 * PI * (n + 1) as f64 / (TAPS + 1) as f64;
        sinc * (0.42 - 0.5 * turn.cos() + 0.08 * (2.0 * turn).cos())
    });
    let sum: f64 = taps.iter().sum();
    taps.iter_mut().for_each(|tap| *tap /= sum);
    taps.map(|tap| tap as f32)
}
