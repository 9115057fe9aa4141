//! What is drawn: the change against the recording, and the take's spectrum behind it.

use dryfit_dsp::conversion::{Controls, Conversion, Grid, Target};
use realfft::RealFftPlanner;

const POINTS: usize = 79;
const LOWEST: f64 = 40.0;
const HIGHEST: f64 = 16_000.0;
/// Samples of a transform: 12 Hz wide bins at 48 kHz are narrow enough for the lowest octave drawn.
const TRANSFORM: usize = 8192;
/// Deepest that is drawn, in dB under the loudest band.
const FLOOR_DB: f64 = -80.0;

/// Points of a curve, in hertz: evenly spaced by ear from 40 Hz to 16 kHz, nine an octave.
pub fn hertz() -> Vec<f64> {
    (0..POINTS).map(|i| LOWEST * (HIGHEST / LOWEST).powf(i as f64 / (POINTS - 1) as f64)).collect()
}

/// By how much an option lifts or lowers each frequency of the take, in dB, where the controls stand.
pub fn gain_db(conversion: &mut Conversion, controls: &Controls) -> Vec<f64> {
    let mut log_gain = [0.0; Grid::POINTS];
    conversion.write(controls, &mut log_gain);
    let grid = conversion.grid();
    let at = |hertz: f64| {
        let place = grid.place(hertz.min(grid.top()));
        let left = (place as usize).min(Grid::POINTS - 2);
        let share = place - left as f64;
        (log_gain[left] * (1.0 - share) + log_gain[left + 1] * share) * 20.0 / std::f64::consts::LN_10
    };
    hertz().into_iter().map(at).collect()
}

/// The power of a take in bands around each frequency, in dB under the loudest band, no deeper than -80.
pub fn spectrum_db(samples: &[f32], sample_rate: u32) -> Vec<f64> {
    let power = power(samples);
    let bin = f64::from(sample_rate) / TRANSFORM as f64;
    let half_step = (HIGHEST / LOWEST).powf(0.5 / (POINTS - 1) as f64);
    let band = |hertz: f64| {
        let last = power.len() - 1;
        let from = ((hertz / half_step / bin).round() as usize).clamp(1, last);
        let to = ((hertz * half_step / bin).round() as usize).clamp(from, last);
        // Bands narrower than a bin share it.
        power[from..=to].iter().sum::<f64>() / (to - from + 1) as f64 * hertz
    };
    let bands: Vec<f64> = hertz().into_iter().map(band).collect();
    let loudest = bands.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    bands.into_iter().map(|band| (10.0 * (band / loudest).log10()).max(FLOOR_DB)).collect()
}

/// Mean power of the Hann-windowed take in each bin.
fn power(samples: &[f32]) -> Vec<f64> {
    let transform = RealFftPlanner::<f32>::new().plan_fft_forward(TRANSFORM);
    let turn = std::f32::consts::TAU / TRANSFORM as f32;
    let window: Vec<f32> = (0..TRANSFORM).map(|i| 0.5 - 0.5 * (turn * i as f32).cos()).collect();
    let (mut time, mut bins) = (transform.make_input_vec(), transform.make_output_vec());
    let mut power = vec![0.0; bins.len()];
    for block in samples.chunks(TRANSFORM) {
        time.fill(0.0);
        time.iter_mut().zip(block.iter().zip(&window)).for_each(|(time, (sample, window))| *time = sample * window);
        if transform.process(&mut time, &mut bins).is_ok() {
            power.iter_mut().zip(&bins).for_each(|(power, bin)| *power += f64::from(bin.norm_sqr()));
        }
    }
    power
}

/// The take's outline in 480 columns: the highest magnitude of each, 0 to 1 against the highest of all.
pub fn outline(samples: &[f32]) -> Vec<f64> {
    const COLUMNS: usize = 480;
    let peak = |samples: &[f32]| samples.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    let highest = peak(samples).max(f32::MIN_POSITIVE);
    let column = samples.len().div_ceil(COLUMNS).max(1);
    samples.chunks(column).map(|samples| f64::from((peak(samples) / highest * 1000.0).round()) / 1000.0).collect()
}
