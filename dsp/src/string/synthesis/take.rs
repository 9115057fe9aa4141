//! From a performance to what every pickup heard.

use std::f64::consts::FRAC_PI_2;

use super::bank::{BLOCK, Bank};
use super::note::Plucked;
use super::{Note, Performance, Realism};
use crate::document::Guitar;

/// How long a note that is cut off still sounds under the new one, in seconds.
const OVERLAP: f64 = 0.008;
/// How long a note takes to end, in seconds.
const RELEASE: f64 = 0.012;
/// How long the noise of the pick lasts, in seconds.
const PICK_NOISE: f64 = 0.0083;

/// What every pickup heard of one performance.
#[derive(Debug, Clone, PartialEq)]
pub struct Take {
    /// Samples per second.
    pub sample_rate: f64,
    /// One EMF per pickup of the guitar, in its order, all of one length and in one arbitrary unit.
    pub pickups: Vec<Vec<f32>>,
}

impl Take {
    /// The largest absolute sample of one pickup.
    ///
    /// # Panics
    /// When the guitar has no such pickup.
    pub fn peak(&self, pickup: usize) -> f32 {
        self.pickups[pickup].iter().fold(0.0, |peak, sample| peak.max(sample.abs()))
    }

    /// Multiplies every sample of every pickup, so that the pickups keep their proportion.
    pub fn scale(&mut self, factor: f32) {
        self.pickups.iter_mut().flatten().for_each(|sample| *sample *= factor);
    }
}

/// Plays a performance on a guitar. The same arguments give the same samples. Notes on strings that the guitar has not got
/// are left out. `sample_rate` in hertz.
///
/// Each note draws its chances from its own place in the performance, so that neither other notes nor the pickups change
/// how it was played.
///
/// # Panics
/// When the sample rate is not a positive number.
pub fn synthesise(guitar: &Guitar, performance: &Performance, seed: u64, sample_rate: f64, realism: &Realism) -> Take {
    let mut signals = play(guitar, performance, |_| true, seed, sample_rate, realism);
    signals.iter_mut().for_each(|signal| distort(signal, realism.nonlinearity));
    take(sample_rate, &signals)
}

/// What the pickups hear of one string alone in the same take, without any distortion: these add up to the take that
/// [`synthesise`] makes when `nonlinearity` is 0.
///
/// # Panics
/// When the sample rate is not a positive number.
pub fn stem(
    guitar: &Guitar,
    performance: &Performance,
    string: usize,
    seed: u64,
    sample_rate: f64,
    realism: &Realism,
) -> Take {
    take(sample_rate, &play(guitar, performance, |note| note.string == string, seed, sample_rate, realism))
}

fn take(sample_rate: f64, signals: &[Vec<f64>]) -> Take {
    let rounded = |signal: &Vec<f64>| signal.iter().map(|&sample| sample as f32).collect();
    Take { sample_rate, pickups: signals.iter().map(rounded).collect() }
}

/// One signal per pickup: the wanted notes of the performance.
fn play(
    guitar: &Guitar,
    performance: &Performance,
    wanted: impl Fn(&Note) -> bool,
    seed: u64,
    sample_rate: f64,
    realism: &Realism,
) -> Vec<Vec<f64>> {
    assert!(sample_rate.is_finite() && sample_rate > 0.0, "a take needs a positive sample rate, not {sample_rate}");
    let samples = (performance.length() * sample_rate).ceil() as usize;
    let mut signals = vec![vec![0.0; samples]; guitar.pickups.len()];
    for (index, note) in performance.notes.iter().enumerate() {
        if note.string >= guitar.strings.len() || !wanted(note) {
            continue;
        }
        let start = (note.start * sample_rate) as usize;
        let length = (sounding(note, &performance.notes) * sample_rate) as usize;
        let plucked = Plucked::new(guitar, *note, index, seed, realism);
        let heard = ring(guitar, &plucked, length.min(samples.saturating_sub(start)), sample_rate);
        for (signal, heard) in signals.iter_mut().zip(&heard) {
            signal[start.min(samples)..].iter_mut().zip(heard).for_each(|(sum, sample)| *sum += sample);
        }
    }
    signals
}

/// How long a note sounds, in seconds: the next one on its string cuts it off.
fn sounding(note: &Note, notes: &[Note]) -> f64 {
    let later = notes.iter().filter(|next| next.string == note.string && next.start > note.start + 1e-4);
    later.map(|next| next.start - note.start + OVERLAP).fold(note.length, f64::min)
}

/// One note as each pickup hears it.
fn ring(guitar: &Guitar, plucked: &Plucked, length: usize, sample_rate: f64) -> Vec<Vec<f64>> {
    let mut heard = vec![vec![0.0; length]; guitar.pickups.len()];
    let partials = plucked.partials(sample_rate);
    let mut bank = Bank::new(&partials, guitar.pickups.len(), plucked.level(), sample_rate);
    for from in (0..length).step_by(BLOCK) {
        let middle = (from as f64 + 0.5 * BLOCK as f64) / sample_rate;
        bank.add(plucked.ratio(middle), &mut heard, from);
        if bank.is_silent() {
            break;
        }
    }
    let noise = plucked.pick_noise((PICK_NOISE * sample_rate) as usize);
    for (pickup, signal) in guitar.pickups.iter().zip(&mut heard) {
        let level = pickup.signal_sign() * 10.0_f64.powf(pickup.output_db / 20.0);
        signal.iter_mut().zip(&noise).for_each(|(sample, noise)| *sample += level * noise);
        release(signal, (RELEASE * sample_rate) as usize);
    }
    heard
}

/// Ends a note within its last samples, without a click.
fn release(signal: &mut [f64], samples: usize) {
    let samples = samples.min(signal.len());
    let from = signal.len() - samples;
    for (i, sample) in signal[from..].iter_mut().enumerate() {
        *sample *= (FRAC_PI_2 * (i + 1) as f64 / samples as f64).cos().powi(2);
    }
}

/// Second-order distortion relative to the signal's peak, without the mean it would add: an EMF has none.
fn distort(signal: &mut [f64], share: f64) {
    let peak = signal.iter().fold(0.0, |peak: f64, sample| peak.max(sample.abs()));
    if share == 0.0 || peak == 0.0 {
        return;
    }
    let mean = signal.iter().map(|sample| sample * sample).sum::<f64>() / signal.len() as f64;
    signal.iter_mut().for_each(|sample| *sample += share / peak * (*sample * *sample - mean));
}
