//! Spectra of stretches of a recording.

use std::f64::consts::TAU;

use realfft::RealFftPlanner;

/// Amplitudes over frequency of a stretch under a Hann window: a steady tone of amplitude a has a maximum of a.
#[derive(Debug, Clone)]
pub(super) struct Spectrum {
    amplitudes: Vec<f64>,
    /// Hertz from one value to the next; half of what the window resolves.
    spacing: f64,
}

/// A tone in a spectrum.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tone {
    pub(super) hertz: f64,
    pub(super) amplitude: f64,
}

impl Spectrum {
    /// Of all these samples, as many as a power of two.
    pub(super) fn of(samples: &[f32], rate: f64, planner: &mut RealFftPlanner<f64>) -> Self {
        let length = samples.len();
        let forward = planner.plan_fft_forward(2 * length);
        let mut padded = vec![0.0; 2 * length];
        for (n, (value, sample)) in padded.iter_mut().zip(samples).enumerate() {
            let hann = 0.5 - 0.5 * (TAU * (n as f64 + 0.5) / length as f64).cos();
            *value = hann * f64::from(*sample);
        }
        let mut spectrum = forward.make_output_vec();
        forward.process(&mut padded, &mut spectrum).expect("buffers are as long as the transform");
        // The mean of a Hann window is a half, and so is a tone's share at positive frequencies.
        let scale = 4.0 / length as f64;
        let amplitudes = spectrum.iter().map(|value| scale * value.norm()).collect();
        Self { amplitudes, spacing: rate / (2 * length) as f64 }
    }

    /// One amplitude per frequency, from 0 Hz on.
    pub(super) fn amplitudes(&self) -> &[f64] {
        &self.amplitudes
    }

    /// The largest amplitude.
    pub(super) fn loudest(&self) -> f64 {
        self.amplitudes.iter().fold(0.0, |max, &amplitude| max.max(amplitude))
    }

    /// Hertz from one amplitude to the next.
    pub(super) fn spacing(&self) -> f64 {
        self.spacing
    }

    /// Amplitude at a frequency; 0 beyond the highest.
    pub(super) fn at(&self, hertz: f64) -> f64 {
        let place = hertz / self.spacing;
        let at = place as usize;
        match self.amplitudes.get(at..at + 2) {
            Some(pair) => pair[0] + (place - at as f64) * (pair[1] - pair[0]),
            None => 0.0,
        }
    }

    /// The highest maximum within `reach` hertz of a frequency; none where the spectrum only rises or falls there.
    pub(super) fn tone_near(&self, hertz: f64, reach: f64) -> Option<Tone> {
        let low = (((hertz - reach) / self.spacing).ceil() as usize).max(1);
        let high = (((hertz + reach) / self.spacing) as usize).min(self.amplitudes.len().checked_sub(2)?);
        let is_maximum = |&at: &usize| {
            self.amplitudes[at] >= self.amplitudes[at - 1] && self.amplitudes[at] > self.amplitudes[at + 1]
        };
        let best = (low..=high).filter(is_maximum);
        let best = best.max_by(|&a, &b| self.amplitudes[a].total_cmp(&self.amplitudes[b]))?;
        Some(self.refined(best))
    }

    /// All maxima above an amplitude, up to a frequency.
    pub(super) fn tones_above(&self, amplitude: f64, top: f64) -> Vec<Tone> {
        let end = ((top / self.spacing) as usize).min(self.amplitudes.len().saturating_sub(1));
        let is_tone = |&at: &usize| {
            let value = self.amplitudes[at];
            value > amplitude && value >= self.amplitudes[at - 1] && value > self.amplitudes[at + 1]
        };
        (2..end).filter(is_tone).map(|at| self.refined(at)).collect()
    }

    /// A parabola through the logarithms of three values.
    fn refined(&self, at: usize) -> Tone {
        let [before, here, after] = [at - 1, at, at + 1].map(|at| self.amplitudes[at].max(1e-30).ln());
        let off = (0.5 * (before - after) / (before - 2.0 * here + after - 1e-12)).clamp(-0.5, 0.5);
        let amplitude = (here - 0.25 * (before - after) * off).exp();
        Tone { hertz: (at as f64 + off) * self.spacing, amplitude }
    }
}

/// The power of two nearest to so many seconds.
pub(super) fn window_samples(seconds: f64, rate: f64) -> usize {
    1 << ((seconds * rate).log2().round() as u32)
}
