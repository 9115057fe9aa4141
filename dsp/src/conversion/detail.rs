//! What following adds to the best static filter.

use std::sync::Arc;

use wide::f32x8;

use super::boost::limit_boost;
use super::places::{Places, pairs};
use super::runs::{Run, runs};
use crate::circuit::{Controls, Grid, Responses};
use crate::lanes::{LANES, lanes, vectorised};
use crate::string::Playing;

/// Works out how far the gain that suits the strings that sound differs from the static one. Allocates nothing after
/// [`Detail::new`].
#[derive(Debug, Clone)]
pub(super) struct Detail {
    places: Arc<Places>,
    /// Per frequency: where it lies on the coarse grid.
    cubic: Arc<Vec<(usize, [f32; 4])>>,
    recorded: Weights,
    option: Weights,
    /// The static gain, as ln|G|, per frequency.
    still: Vec<f32>,
    /// For which controls all that was computed.
    controls: Option<Controls>,
    wanted: Vec<f32>,
    given: Vec<f32>,
}

impl Detail {
    /// Estimates are blended with the static filter in ln|G|: this share of them. The study took 0.85, when one string in five was
    /// named wrongly, and on its real recordings that was worth 0.04 dB against 1; now that strings are named rightly it costs 0.3 dB
    /// on single lines.
    const TRUST: f32 = 0.95;
    /// Following ends between these shares of the highest frequency.
    const FADE: (f32, f32) = (0.9, 1.0);
    /// A change of ln|G| where the strings are loudest that is not heard: 0.2 dB.
    const UNHEARD: f32 = 0.023;
    /// One that is not heard where they are fainter: 1 dB.
    const UNHEARD_BELOW: f32 = 0.115;
    /// Where they are fainter than this against their loudest, in power, nothing of them is heard: -50 dB.
    const FAINT: f32 = 1e-5;

    pub(super) fn new(places: Arc<Places>, grid: &Grid, recorded: &Responses) -> Self {
        let cubic = places.hertz().iter().map(|&hertz| {
            let (first, weights) = grid.cubic(hertz);
            (first, weights.map(|weight| weight as f32))
        });
        let cubic = Arc::new(cubic.collect::<Vec<_>>());
        let points = places.hertz().len();
        let weights = || Weights::new(places.pickups(), points);
        let (mut of_recorded, of_option) = (weights(), weights());
        of_recorded.write(recorded, &cubic);
        Self {
            cubic,
            recorded: of_recorded,
            option: of_option,
            still: vec![0.0; points],
            controls: None,
            wanted: vec![0.0; points],
            given: vec![0.0; points],
            places,
        }
    }

    /// Whether it is ready for these controls.
    pub(super) fn is_for(&self, controls: &Controls) -> bool {
        self.controls.as_ref() == Some(controls)
    }

    /// Makes it ready for controls, under which the option has these responses and the static gain is `log_gain` on the grid.
    pub(super) fn prepare(&mut self, controls: &Controls, option: &Responses, log_gain: &[f64; Grid::POINTS]) {
        self.option.write(option, &self.cubic);
        for (still, (first, weights)) in self.still.iter_mut().zip(&*self.cubic) {
            *still = (0..4).map(|k| log_gain[first + k] as f32 * weights[k]).sum();
        }
        self.controls = Some(*controls);
    }

    /// Writes what is to be added to the static ln|G|, one value per frequency of [`Places`].
    pub(super) fn write(&mut self, playing: &Playing, detail: &mut [f32]) {
        assert_eq!(playing.strings(), self.places.strings(), "powers for as many strings as the guitar has");
        vectorised(
            #[inline(always)]
            || self.add_powers(playing),
        );
        for ((ratio, wanted), given) in detail.iter_mut().zip(&self.wanted).zip(&self.given) {
            *ratio = wanted.max(f32::MIN_POSITIVE) / given.max(f32::MIN_POSITIVE);
        }
        let points = detail.len() as f32;
        for (group, values) in detail.chunks_exact_mut(LANES).enumerate() {
            let log_gains = (lanes(values).ln() * f32x8::splat(0.5)).to_array();
            for ((k, value), log_gain) in values.iter_mut().enumerate().zip(log_gains) {
                let point = group * LANES + k;
                let limited = limit_boost(f64::from(log_gain)) as f32;
                let fade = ((Self::FADE.1 - point as f32 / points) / (Self::FADE.1 - Self::FADE.0)).clamp(0.0, 1.0);
                *value = Self::TRUST * playing.confidence * fade * (limited - self.still[point]);
            }
        }
    }

    /// Power at the jack per frequency, as recorded and through the option: sum over strings.
    #[inline(always)]
    fn add_powers(&mut self, playing: &Playing) {
        let Self { places, recorded, option, given, wanted, .. } = self;
        given.fill(0.0);
        wanted.fill(0.0);
        for string in 0..places.strings() {
            for run in runs(playing.stretch()[string], places.hertz().len()) {
                recorded.add_power(places, playing, string, run, given);
                option.add_power(places, playing, string, run, wanted);
            }
        }
    }

    /// Whether going from one detail to another is heard through what the strings gave when a detail was last written. A
    /// change counts as what it adds to the sound, so it may be larger where less sounds.
    pub(super) fn tells_apart(&self, before: &[f32], now: &[f32]) -> bool {
        let loudest = self.wanted.iter().copied().fold(f32::MIN_POSITIVE, f32::max);
        before.iter().zip(now).zip(&self.wanted).any(|((before, now), &power)| {
            let (change, share) = ((now - before).abs(), power / loudest);
            share > Self::FAINT && (change > Self::UNHEARD_BELOW || change * change * share > Self::UNHEARD.powi(2))
        })
    }
}

/// Per pair of pickups and frequency, what a circuit makes of the product of their EMFs: Re(H_i conj H_j), twice where
/// i and j differ.
#[derive(Debug, Clone)]
struct Weights {
    pickups: usize,
    points: usize,
    values: Vec<f32>,
    /// Pairs of which anything is heard.
    heard: Vec<bool>,
}

impl Weights {
    /// A pair below this share of the strongest is not heard: -120 dB.
    const FAINT: f32 = 1e-12;

    fn new(pickups: usize, points: usize) -> Self {
        let count = pairs(pickups).count();
        Self { pickups, points, values: vec![0.0; count * points], heard: vec![false; count] }
    }

    fn write(&mut self, responses: &Responses, cubic: &[(usize, [f32; 4])]) {
        let value = |pickup: usize, (first, weights): &(usize, [f32; 4])| {
            let (re, im) = responses.parts(pickup);
            let sum = |of: &[f64]| (0..4).map(|k| of[first + k] as f32 * weights[k]).sum::<f32>();
            (sum(re), sum(im))
        };
        let mut loudest = 0.0f32;
        for ((i, j), row) in pairs(self.pickups).zip(self.values.chunks_exact_mut(self.points)) {
            let twice = if i == j { 1.0 } else { 2.0 };
            for (weight, place) in row.iter_mut().zip(cubic) {
                let ((re_i, im_i), (re_j, im_j)) = (value(i, place), value(j, place));
                *weight = twice * (re_i * re_j + im_i * im_j);
                loudest = loudest.max(weight.abs());
            }
        }
        for (heard, row) in self.heard.iter_mut().zip(self.values.chunks_exact(self.points)) {
            *heard = row.iter().any(|weight| weight.abs() > loudest * Self::FAINT);
        }
    }

    /// Adds a string's power at the jack, over a run of points: sum over pairs.
    #[inline(always)]
    fn add_power(&self, places: &Places, playing: &Playing, string: usize, run: Run, power: &mut [f32]) {
        let (sums, energies) = (&mut power[run.from..run.to], &playing.power(string)[run.from..run.to]);
        for (pair, weights) in self.values.chunks_exact(self.points).enumerate().filter(|(pair, _)| self.heard[*pair]) {
            let (weights, products) = (&weights[run.from..run.to], places.product(string, pair));
            run.add_products(sums, weights, energies, products);
        }
    }
}
