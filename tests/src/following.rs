//! The table of what following is worth: eight takes of which the truth is known, through eight changes of pickup.

use dryfit_dsp::document::{Guitar, Library};
use dryfit_dsp::following::{Alone, Follower, Source};
use dryfit_dsp::string::{Performance, Realism, Take, performances};

use crate::ground_truth::{SAMPLE_RATE, Stand, add_noise, play_with};
use crate::metrics::log_spectral_distance;

/// A change of pickup.
#[derive(Debug, Clone)]
pub struct Change {
    /// From what to what.
    pub name: &'static str,
    /// What the take is recorded with.
    pub recorded: Stand,
    /// What is wanted.
    pub option: Stand,
}

/// How a take is converted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Not at all.
    Left,
    /// The best static filter.
    Static,
    /// Notes followed as it plays.
    Live,
    /// Notes followed as it plays, looking ahead.
    Ahead,
    /// Notes followed with the whole take known.
    Whole,
}

/// How a follower is made that hears a take as it comes.
pub type Make = fn(&Source, f64) -> Follower;

/// The guitar of the table: a preset whose nulls are as deep as those of the takes, 30 dB, at which the study put its floor
/// (place/light.py: 1e-3 in power). Its document describes it exactly.
///
/// # Panics
/// When the preset is gone.
pub fn guitar() -> Guitar {
    let mut guitar = Library::presets().guitar("three-single-coils").unwrap_or_else(|problems| panic!("{problems}"));
    guitar.pickups.iter_mut().for_each(|pickup| pickup.null_depth_db = -30.0);
    guitar
}

/// As played, with the distortion of a magnet that the string comes close to, as the study has it.
pub fn realism() -> Realism {
    let mut realism = Realism::played();
    realism.nonlinearity = 0.02;
    realism
}

/// The changes of pickup that the table has a row for; the sixth is a blend, and no change of pickup alone.
pub fn changes(guitar: &Guitar) -> Vec<Change> {
    let two_tones = |position| Stand::new("five-way-two-tones", guitar, position);
    let bridge = || two_tones(1);
    let change = |name, recorded, option| Change { name, recorded, option };
    vec![
        change("bridge to neck", bridge(), two_tones(5)),
        change("bridge to middle", bridge(), two_tones(3)),
        change("bridge to neck + middle", bridge(), two_tones(4)),
        change("bridge to bridge + middle", bridge(), two_tones(2)),
        change("bridge to neck + bridge", bridge(), Stand::new("five-way-outer-pair", guitar, 3)),
        change(
            "bridge to bridge, blend 5",
            bridge(),
            Stand::new("five-way-bridge-only-neck-blend", guitar, 1).turned("blend", 5.0),
        ),
        change("neck to bridge", two_tones(5), bridge()),
        change("middle to bridge", two_tones(3), bridge()),
    ]
}

/// The eight takes, four single lines and four with several strings at once, played by chance of a seed.
pub fn takes(guitar: &Guitar, seed: u64) -> Vec<Take> {
    let played = |(i, (_, performance)): (usize, (_, Performance))| take(guitar, &performance, seed + i as u64);
    performances::all().into_iter().enumerate().map(played).collect()
}

/// A performance as the takes are played; the loudest pickup peaks at -6 dBFS.
pub fn take(guitar: &Guitar, performance: &Performance, seed: u64) -> Take {
    play_with(guitar, performance, seed, &realism())
}

/// How far a take is off after a change of pickup, in dB, by the ways it is converted.
pub fn distances(change: &Change, played: &Take, noise: u64, ways: &[Way]) -> Vec<f64> {
    let (take, truth) = (recording(change, played, noise), change.option.truth(played));
    let distance = |way: &Way| log_spectral_distance(&heard(change, &take, *way), &truth, f64::from(SAMPLE_RATE));
    ways.iter().map(distance).collect()
}

/// A take as it was recorded in a change of pickup, with its noise.
pub fn recording(change: &Change, played: &Take, noise: u64) -> Vec<f32> {
    let mut take = change.recorded.truth(played);
    add_noise(&mut take, noise);
    take
}

/// What a recording becomes by a change of pickup.
pub fn heard(change: &Change, take: &[f32], way: Way) -> Vec<f32> {
    let Change { recorded, option, .. } = change;
    match way {
        Way::Left => take.to_vec(),
        Way::Static => recorded.convert(take, option),
        Way::Live => recorded.convert_following(take, option, Follower::live),
        Way::Ahead => recorded.convert_following(take, option, Follower::ahead),
        Way::Whole => {
            recorded.convert_following(take, option, |source, rate| Follower::whole(source, rate, take, &Alone))
        }
    }
}

/// Means over the single lines and over the chords.
pub fn means(of_takes: &[f64]) -> [f64; 2] {
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    [mean(&of_takes[..4]), mean(&of_takes[4..])]
}
