use std::f64::consts::TAU;

use dryfit_dsp::following::{Alone, Follower};
use dryfit_dsp::string::StiffString;
use dryfit_tests::following::guitar;
use dryfit_tests::ground_truth::Stand;
use realfft::RealFftPlanner;

use crate::stage::TWO_TONES;

const RATE: f64 = 48_000.0;
const LENGTH: usize = 1 << 17;
const PARTIALS: usize = 20;

/// A string that sounds on and on, unchanged, must not be made to waver. Source: issue 4, "no modulation sidebands above -60 dB".
#[test]
fn a_steady_string_is_not_made_to_waver() {
    let guitar = guitar();
    let (bridge, neck) = (Stand::new(TWO_TONES, &guitar, 1), Stand::new(TWO_TONES, &guitar, 5));
    for (number, string) in StiffString::all(&guitar).iter().enumerate() {
        let take = steady(string, LENGTH + RATE as usize);
        let still = sidebands_db(&bridge.convert(&take, &neck), string);
        let live = sidebands_db(&bridge.convert_following(&take, &neck, Follower::live), string);
        let ahead = sidebands_db(&bridge.convert_following(&take, &neck, Follower::ahead), string);
        let whole = |source: &_, rate| Follower::whole(source, rate, &take, &Alone);
        let whole = sidebands_db(&bridge.convert_following(&take, &neck, whole), string);
        println!("string {number}: {still:.1} dB static, {live:.1} dB live, {ahead:.1} dB ahead, {whole:.1} dB whole");
        assert!(still < -80.0, "the measure itself shows {still:.1} dB on string {number}");
        assert!(
            live < -60.0 && ahead < -60.0 && whole < -60.0,
            "string {number}: {live:.1} dB live, {ahead:.1} dB ahead, {whole:.1} dB whole"
        );
    }
}

/// The first partials of an open string, which fall with their number and do not decay.
fn steady(string: &StiffString, length: usize) -> Vec<f32> {
    let partial = |n: usize, t: usize| (TAU * string.partial(n) * t as f64 / RATE + n as f64).sin() / n as f64;
    (0..length).map(|t| (1..=PARTIALS).map(|n| partial(n, t)).sum::<f64>() as f32 * 0.1).collect()
}

/// The strongest of what lies between the partials, against the strongest partial, at the end of a take. Under the
/// four-term window of Harris 1978 (On the use of windows for harmonic analysis), whose side lobes are 92 dB down.
fn sidebands_db(take: &[f32], string: &StiffString) -> f64 {
    let end = &take[take.len() - LENGTH..];
    let window = |t: usize| {
        let turn = TAU * t as f64 / LENGTH as f64;
        0.35875 - 0.48829 * turn.cos() + 0.14128 * (2.0 * turn).cos() - 0.01168 * (3.0 * turn).cos()
    };
    let mut samples: Vec<f64> = end.iter().enumerate().map(|(t, &sample)| f64::from(sample) * window(t)).collect();
    let forward = RealFftPlanner::<f64>::new().plan_fft_forward(LENGTH);
    let mut spectrum = forward.make_output_vec();
    forward.process(&mut samples, &mut spectrum).unwrap();
    let place = |n: usize| string.partial(n) * LENGTH as f64 / RATE;
    let (mut strongest, mut between) = (0.0f64, 0.0f64);
    for (bin, value) in spectrum.iter().enumerate().take(place(PARTIALS + 1) as usize).skip(20) {
        let away = (1..=PARTIALS).map(|n| (bin as f64 - place(n)).abs()).fold(f64::INFINITY, f64::min);
        strongest = strongest.max(value.norm());
        if away > 8.0 {
            between = between.max(value.norm());
        }
    }
    20.0 * (between / strongest).log10()
}
