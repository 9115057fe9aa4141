//! Spectra of whole takes, where the take has energy.

use dryfit_dsp::filter::Size;
use dryfit_dsp::units::amplitude_to_db;
use dryfit_tests::real_recording::RealTake;
use realfft::RealFftPlanner;

/// Where ratios are compared, in hertz: from below the low E string to where the recording ends.
const BAND: std::ops::Range<f64> = 70.0..11_000.0;
/// In each of these parts of an octave the strongest frequency of the take is compared.
const PARTS_OF_AN_OCTAVE: f64 = 24.0;
/// Frequencies weaker than the strongest by more than this are left out.
const ENERGY_DB: f64 = -60.0;

/// Measures spectra where the take has energy.
pub struct Ruler {
    /// In hertz.
    pub sample_rate: u32,
    /// The take and the silence after it.
    pub samples: Vec<f32>,
    length: usize,
    /// Bins that are compared.
    pub bins: Vec<usize>,
}

impl Ruler {
    /// For the frequencies at which this take has energy.
    pub fn new(take: &RealTake) -> Self {
        let mut samples = take.samples.clone();
        samples.resize(samples.len() + Size::at(f64::from(take.sample_rate)).taps, 0.0);
        let length = samples.len().next_power_of_two();
        let mut ruler = Self { sample_rate: take.sample_rate, samples, length, bins: Vec::new() };
        let level = ruler.levels_db(&ruler.samples);
        let loudest = level.iter().copied().fold(f64::MIN, f64::max);
        let bin = |hertz: f64| (hertz * ruler.length as f64 / f64::from(ruler.sample_rate)) as usize;
        let parts = ((BAND.end / BAND.start).log2() * PARTS_OF_AN_OCTAVE) as usize;
        let edge = |part: usize| bin(BAND.start * (part as f64 / PARTS_OF_AN_OCTAVE).exp2());
        let strongest = |part: usize| (edge(part)..edge(part + 1)).max_by(|&a, &b| level[a].total_cmp(&level[b]));
        let bins = (0..parts).filter_map(strongest).filter(|&bin| level[bin] > loudest + ENERGY_DB).collect();
        ruler.bins = bins;
        ruler
    }

    /// The frequency of a compared bin.
    pub fn hertz(&self, point: usize) -> f64 {
        self.bins[point] as f64 * f64::from(self.sample_rate) / self.length as f64
    }

    /// The level of every bin.
    pub fn levels_db(&self, samples: &[f32]) -> Vec<f64> {
        let fft = RealFftPlanner::<f64>::new().plan_fft_forward(self.length);
        let (mut input, mut output) = (fft.make_input_vec(), fft.make_output_vec());
        input.iter_mut().zip(samples).for_each(|(slot, &sample)| *slot = f64::from(sample));
        fft.process(&mut input, &mut output).unwrap();
        output.iter().map(|bin| amplitude_to_db(bin.norm())).collect()
    }
}
