//! The take that is used when there is none: a riff, synthesised, as an ordinary guitar would have recorded it.

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::conversion::{ConversionError, Grid, Through};
use dryfit_dsp::document::Assembly;
use dryfit_dsp::string::performances;
use dryfit_dsp::string::synthesis::{Realism, synthesise};

use crate::audio::Take;
use crate::rendering::render;

/// The demo's name in file names and messages.
pub const NAME: &str = "demo";
const SAMPLE_RATE: u32 = 48_000;
const SEED: u64 = 1;
/// Peak of the finished take: a DI take with ordinary headroom, -6 dBFS.
const PEAK: f32 = 0.5;

/// The riff as it comes out of the jack of this assembly, controls where they stand.
///
/// # Errors
/// When the circuit has no single solution.
pub fn take(assembly: &Assembly, controls: &Controls) -> Result<Take, ConversionError> {
    let performance = performances::demo();
    let rate = f64::from(SAMPLE_RATE);
    let played = synthesise(&assembly.guitar, &performance, SEED, rate, &Realism::played());
    let grid = Grid::up_to(rate / 2.0);
    let mut samples = vec![0.0; played.pickups.first().map_or(0, Vec::len)];
    for (pickup, emf) in played.pickups.iter().enumerate() {
        let heard = render(emf, SAMPLE_RATE, Through::new(assembly, pickup, &grid)?, controls, |_| {});
        samples.iter_mut().zip(&heard).for_each(|(sum, sample)| *sum += sample);
    }
    let peak = samples.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    if peak > 0.0 {
        samples.iter_mut().for_each(|sample| *sample *= PEAK / peak);
    }
    Ok(Take { sample_rate: SAMPLE_RATE, samples })
}
