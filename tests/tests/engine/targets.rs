//! Targets in closed form, and what is played through them.

use dryfit_dsp::conversion::{Controls, Grid, Target};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::curves::{Ladder, resonance, shelf};

/// ln|G| under some controls at a frequency in hertz.
pub type LogGain = fn(&Controls, f64) -> f64;

/// A target that is a formula.
pub struct Formula {
    hertz: Vec<f64>,
    log_gain: LogGain,
}

impl Formula {
    pub fn new(sample_rate: f64, log_gain: LogGain) -> Self {
        Self { hertz: Grid::up_to(sample_rate / 2.0).hertz().to_vec(), log_gain }
    }
}

impl Target for Formula {
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        for (value, &hertz) in log_gain.iter_mut().zip(&self.hertz) {
            *value = (self.log_gain)(controls, hertz);
        }
    }
}

/// Share of an audio-taper pot at a travel of 0 to 1: 10 % half way (the common law (81^x - 1) / 80).
fn audio(travel: f64) -> f64 {
    (81f64.powf(travel) - 1.0) / 80.0
}

/// The setting of a one-coil guitar: knob 1 is the volume, knob 2 the tone.
fn setting(controls: &Controls, taper: fn(f64) -> f64, after_volume: bool) -> Ladder {
    let [volume, tone] = [controls.knobs[0], controls.knobs[1]].map(|knob| taper(knob / 10.0));
    Ladder { volume, tone: ((250e3 * tone).max(1.0), 47e-9), after_volume, ..Ladder::OPEN }
}

/// A bare guitar with linear pots, recorded wide open.
pub fn linear_pots(controls: &Controls, hertz: f64) -> f64 {
    (setting(controls, |travel| travel, false).gain(hertz) / Ladder::OPEN.gain(hertz)).ln()
}

/// A guitar with audio-taper pots recorded wide open; each selector position has a voice of its own: the coil, a resonance, a shelf.
pub fn guitar(controls: &Controls, hertz: f64) -> f64 {
    let knobs = (setting(controls, audio, false).gain(hertz) / Ladder::OPEN.gain(hertz)).ln();
    let voice = match controls.position {
        1 => 0.0,
        2 => resonance(hertz, 2500.0, 3.0).ln(),
        _ => shelf(hertz, 250.0, 1000.0).ln() - 1.0,
    };
    knobs + voice
}

/// The same with its tone moved behind the volume, where it leaves a tail longer than the taps.
pub fn tone_after_volume(controls: &Controls, hertz: f64) -> f64 {
    (setting(controls, audio, true).gain(hertz) / Ladder::OPEN.gain(hertz)).ln()
}

/// An engine with both of them.
pub fn engine(sample_rate: f64, channels: usize) -> Engine<Formula> {
    let targets = vec![Formula::new(sample_rate, guitar), Formula::new(sample_rate, tone_after_volume)];
    Engine::new(sample_rate, channels, targets)
}

/// Bench A (or whatever) with these controls.
pub fn scene(listen: Listen, controls: Controls) -> Scene {
    Scene { controls, listen, ..Scene::default() }
}

/// Controls with selector, volume and tone set.
pub fn controls(position: u8, volume: f64, tone: f64) -> Controls {
    let mut controls = Controls { position, ..Controls::default() };
    (controls.knobs[0], controls.knobs[1]) = (volume, tone);
    controls
}

/// White noise between -1 and 1.
pub fn noise(seed: u64, length: usize) -> Vec<f32> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    (0..length).map(|_| random.random_range(-1.0..1.0)).collect()
}

/// Something like a plucked low A: 79 harmonics of 110 Hz that fall by 1 / k, phases k^2.
pub fn saw(sample_rate: f64, length: usize) -> Vec<f32> {
    let turn = std::f64::consts::TAU * 110.0 / sample_rate;
    let harmonic = |n: usize, k: f64| (turn * k * n as f64 + k * k).sin() / k;
    (0..length).map(|n| (1..80).map(|k| harmonic(n, f64::from(k))).sum::<f64>() as f32).collect()
}

/// A sine.
pub fn sine(sample_rate: f64, hertz: f64, length: usize) -> Vec<f32> {
    let turn = std::f64::consts::TAU * hertz / sample_rate;
    (0..length).map(|n| (turn * n as f64).sin() as f32).collect()
}

/// Plays one channel under a scene that may change at every step of the control grid.
pub fn play(engine: &mut Engine<Formula>, input: &[f32], scene: impl Fn(usize) -> Scene) -> Vec<f32> {
    let mut output = input.to_vec();
    let step = engine.step();
    for (block, samples) in output.chunks_mut(step).enumerate() {
        engine.process(&scene(block * step), &mut [samples]);
    }
    output
}

/// Root of the mean square.
pub fn rms(samples: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = samples.fold((0.0, 0.0), |(sum, count), sample| (sum + sample * sample, count + 1.0));
    f64::sqrt(sum / count)
}
