//! How far a rendered take is from the truth.

use biquad::{Biquad, Coefficients, DirectForm2Transposed, Q_BUTTERWORTH_F64, ToHertz, Type};
use realfft::RealFftPlanner;

/// Third-octave log-spectral distance of `heard` from `truth`, in dB rms over all bands (99 Hz to 8 kHz) and frames (50 ms
/// every 25 ms) in which the truth has energy, after matching their levels: the measure of the reference study
/// (place/lib.py `metrics`), computed anew.
pub fn log_spectral_distance(heard: &[f32], truth: &[f32], sample_rate: f64) -> f64 {
    let (mut heard, truth) = (band_limited(heard, sample_rate), band_limited(truth, sample_rate));
    let energy = |samples: &[f64]| samples.iter().map(|sample| sample * sample).sum::<f64>();
    let gain = (energy(&truth) / energy(&heard)).sqrt();
    heard.iter_mut().for_each(|sample| *sample *= gain);
    let (heard, truth) = (third_octaves(&heard, sample_rate), third_octaves(&truth, sample_rate));
    let loudest = truth.iter().flatten().fold(0.0f64, |loudest, &power| loudest.max(power));
    let (mut sum, mut count) = (0.0, 0.0);
    for (heard, truth) in heard.iter().flatten().zip(truth.iter().flatten()) {
        if *truth > loudest * 1e-5 {
            let floor = loudest * 1e-7;
            sum += (10.0 * ((heard + floor) / (truth + floor)).log10()).powi(2);
            count += 1.0;
        }
    }
    (sum / count).sqrt()
}

/// Largest difference between two takes' long-term spectra, in dB, over third octaves within 50 dB of the loudest.
pub fn largest_band_difference(heard: &[f32], truth: &[f32], sample_rate: f64) -> f64 {
    let sum = |samples: &[f32]| {
        let samples: Vec<f64> = samples.iter().map(|&sample| f64::from(sample)).collect();
        let frames = third_octaves(&samples, sample_rate);
        (0..BANDS).map(|band| frames.iter().map(|frame| frame[band]).sum::<f64>()).collect::<Vec<_>>()
    };
    let (heard, truth) = (sum(heard), sum(truth));
    let loudest = truth.iter().fold(0.0f64, |loudest, &power| loudest.max(power));
    let within = |pair: &(&f64, &f64)| *pair.1 > loudest * 1e-5;
    heard.iter().zip(&truth).filter(within).map(|(h, t)| (10.0 * (h / t).log10()).abs()).fold(0.0, f64::max)
}

/// Third octaves from 1 kHz x 2^(-10/3) to 1 kHz x 2^(9/3) (base-two bands of IEC 61260-1).
const BANDS: usize = 20;

fn band_limited(samples: &[f32], sample_rate: f64) -> Vec<f64> {
    let filter = |kind: Type<f64>, hertz: f64| {
        let hertz = hertz.hz();
        let coefficients = Coefficients::<f64>::from_params(kind, sample_rate.hz(), hertz, Q_BUTTERWORTH_F64);
        DirectForm2Transposed::<f64>::new(coefficients.expect("80 Hz and 9 kHz lie below half of every rate used here"))
    };
    let mut high_pass = filter(Type::HighPass, 80.0);
    let mut low_pass = filter(Type::LowPass, 9000.0);
    samples.iter().map(|&sample| low_pass.run(high_pass.run(f64::from(sample)))).collect()
}

/// Power per frame and band.
fn third_octaves(samples: &[f64], sample_rate: f64) -> Vec<[f64; BANDS]> {
    let window = (0.05 * sample_rate) as usize;
    let length = 2 * window;
    let forward = RealFftPlanner::<f64>::new().plan_fft_forward(length);
    let mut spectrum = forward.make_output_vec();
    let mut frames = Vec::new();
    for start in (0..samples.len().saturating_sub(window)).step_by(window / 2) {
        let mut frame = vec![0.0; length];
        for (i, sample) in samples[start..start + window].iter().enumerate() {
            let hann = 0.5 - 0.5 * (std::f64::consts::TAU * i as f64 / window as f64).cos();
            frame[i] = sample * hann;
        }
        forward.process(&mut frame, &mut spectrum).expect("buffers are as long as the transform");
        let mut bands = [0.0; BANDS];
        for (bin, value) in spectrum.iter().enumerate().skip(1) {
            let hertz = bin as f64 * sample_rate / length as f64;
            let band = ((hertz / 1000.0).log2() * 3.0 + 10.5).floor();
            if (0.0..BANDS as f64).contains(&band) {
                bands[band as usize] += value.norm_sqr();
            }
        }
        frames.push(bands);
    }
    frames
}
