//! Measuring partials.

use std::f64::consts::TAU;

use dryfit_dsp::document::Guitar;
use dryfit_dsp::string::{Note, Performance, StiffString};
use realfft::RealFftPlanner;

use crate::guitar::SCALE;

/// Sample rate of most takes here, in hertz.
pub const RATE: f64 = 48_000.0;

/// One ordinary note of two seconds.
pub fn one_note(string: usize, fret: u8) -> Performance {
    Performance { notes: vec![Note::new(0.0, 2.0, string, fret)] }
}

/// Amplitude spectrum under a Hann window over at most 65536 samples (1.4 s), padded to 0.18 Hz a bin.
pub struct Spectrum(Vec<f64>);

impl Spectrum {
    const LENGTH: usize = 1 << 18;

    /// The spectrum of a signal from its first sample on.
    pub fn of(signal: &[f32]) -> Self {
        let length = signal.len().min(Self::LENGTH / 4);
        let window = |t: usize| 0.5 - 0.5 * (TAU * t as f64 / length as f64).cos();
        let mut input: Vec<f64> = (0..length).map(|t| window(t) * f64::from(signal[t])).collect();
        input.resize(Self::LENGTH, 0.0);
        let plan = RealFftPlanner::new().plan_fft_forward(Self::LENGTH);
        let mut output = plan.make_output_vec();
        plan.process(&mut input, &mut output).expect("buffers made for this length");
        Self(output.iter().map(|bin| bin.norm()).collect())
    }

    /// Frequency and amplitude of the peak within 10 Hz, between bins by the parabola through its logarithm.
    pub fn peak(&self, hertz: f64) -> (f64, f64) {
        let bin = |hertz: f64| (hertz * Self::LENGTH as f64 / RATE) as usize;
        let range = bin(hertz - 10.0)..bin(hertz + 10.0);
        let top = range.max_by(|&a, &b| self.0[a].total_cmp(&self.0[b])).expect("20 Hz hold bins");
        let [a, b, c] = [top - 1, top, top + 1].map(|i| self.0[i].max(1e-12).ln());
        let shift = 0.5 * (a - c) / (a - 2.0 * b + c);
        ((top as f64 + shift) * RATE / Self::LENGTH as f64, (b - 0.25 * (a - c) * shift).exp())
    }
}

/// Fundamental and inharmonicity of a fretted string by the law that design.md gives, with B as the guitar has it.
pub fn law(guitar: &Guitar, string: usize, fret: u8) -> (f64, f64) {
    let open = StiffString::open(&guitar.strings[string], SCALE);
    let frets = f64::from(fret);
    (guitar.strings[string].pitch * 2.0_f64.powf(frets / 12.0), open.inharmonicity * 2.0_f64.powf(frets / 6.0))
}
