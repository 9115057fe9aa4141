use dryfit_dsp::conversion::Controls;
use dryfit_dsp::engine::{Engine, Listen, Scene};

use crate::targets::{Formula, noise, sine};
use crate::{bursts, curves, measured};

/// A target that lowers everything by the volume's distance from 10, in dB.
fn attenuator(controls: &Controls, _: f64) -> f64 {
    (controls.knobs[0] - 10.0) * 10f64.ln() / 20.0
}

/// A target that cuts treble: its loudness differs from its gain at any one frequency.
fn darker(_: &Controls, hertz: f64) -> f64 {
    curves::resonance(hertz, 700.0, 0.7).ln()
}

/// Plays in blocks of 480 and says what came out.
fn play(engine: &mut Engine<Formula>, input: &[f32], scene: impl Fn(usize) -> Scene) -> Vec<f32> {
    let mut output = input.to_vec();
    for (block, samples) in output.chunks_mut(480).enumerate() {
        engine.process(&scene(block * 480), &mut [samples]);
    }
    output
}

fn benches() -> Engine<Formula> {
    Engine::new(48_000.0, 1, vec![Formula::new(48_000.0, attenuator), Formula::new(48_000.0, darker)])
}

fn matched(listen: Listen, volume: f64) -> Scene {
    let mut scene = Scene { listen, loudness_match: true, ..Scene::default() };
    scene.controls.knobs[0] = volume;
    scene
}

/// Bound: common practice takes 0.1 LU as equal loudness (the finest step a meter of EBU Tech 3341 shows).
#[test]
fn matched_benches_are_as_loud_as_dry() {
    let input = bursts(48_000.0, 3, &[-20.0, -26.0, f64::NEG_INFINITY, -20.0], 1.5);
    for listen in [Listen::A, Listen::B] {
        let mut engine = benches();
        let first = play(&mut engine, &input, |_| matched(listen, 4.0));
        // The same again: all that is measured is measured, and the gain stands still.
        let second = play(&mut engine, &input, |_| matched(listen, 4.0));
        let dry = measured(48_000.0, std::slice::from_ref(&input)).unwrap();
        let got = measured(48_000.0, &[second]).unwrap();
        println!("{listen:?}: {got:.3} LKFS, dry {dry:.3}");
        assert!((got - dry).abs() < 0.1, "{listen:?}: {got:.3} LKFS instead of {dry:.3}");
        let unmatched = engine.loudness(listen).unwrap();
        assert!(dry - unmatched > 1.0, "there was nothing to match: {unmatched:.3} and {dry:.3} LKFS");
        assert_ne!(first, input);
    }
}

/// Gain, in dB, of bench A over the input at some places where the input is not silent.
fn gains_db(input: &[f32], output: &[f32], every: usize) -> Vec<f64> {
    let power = |samples: &[f32]| samples.iter().map(|&x| f64::from(x) * f64::from(x)).sum::<f64>();
    let chunks = input.chunks(every).zip(output.chunks(every));
    chunks.filter(|(i, _)| power(i) > 0.0).map(|(i, o)| 10.0 * (power(o) / power(i)).log10()).collect()
}

/// Source: design.md section 7, "the match never pumps". The levels stay off the absolute gate: a burst that passes it
/// on dry and not on the bench counts for one of them only, as the standard has it. A pumping gain would follow the level of the take.
#[test]
fn the_match_holds_through_loud_and_soft_and_silence() {
    let levels = [-20.0, -40.0, f64::NEG_INFINITY, f64::NEG_INFINITY, -10.0, -50.0, f64::NEG_INFINITY, -30.0];
    let input = bursts(48_000.0, 4, &levels, 1.0);
    let output = play(&mut benches(), &input, |_| matched(Listen::A, 4.0));
    // Bench A is 6 dB lower than dry at any moment, so a gain of 6 dB is right from the first measurement on.
    let gains = gains_db(&input[48_000..], &output[48_000..], 480);
    let worst = gains.iter().fold(0.0, |worst: f64, gain| worst.max(gain.abs()));
    assert!(worst < 0.01, "{worst} dB");
}

/// The gain never jumps: from one sample to the next it moves by at most its whole way in the 2 ms of the switch.
#[test]
fn the_matching_gain_moves_smoothly() {
    let tone = sine(48_000.0, 997.0, 96_000);
    let output = play(&mut benches(), &tone, |n| Scene { loudness_match: n < 72_000, ..matched(Listen::A, 0.0) });
    let plain = play(&mut benches(), &tone, |_| Scene { loudness_match: false, ..matched(Listen::A, 0.0) });
    let mut gains = output.iter().zip(&plain).filter(|(_, plain)| plain.abs() > 0.1).map(|(a, b)| f64::from(a / b));
    let mut last = gains.next().unwrap();
    assert!((last - 1.0).abs() < 1e-6, "it starts from no gain");
    let whole_way = 10f64.powf(0.5) - 1.0;
    let mut most = last;
    for gain in gains {
        // Up to 10 samples around a zero of the sine are not looked at.
        assert!((gain - last).abs() <= 10.0 * whole_way / 96.0 + 1e-6, "from {last} to {gain}");
        (last, most) = (gain, gain.max(most));
    }
    assert!((most - whole_way - 1.0).abs() < 0.01 && (last - 1.0).abs() < 1e-6, "{most}, then {last}");
}

/// A bench that is all but silent is not raised to full level with all its noise.
#[test]
fn the_match_is_limited_to_24_db() {
    let tone = sine(48_000.0, 997.0, 96_000);
    let output = play(&mut benches(), &tone, |_| matched(Listen::A, -30.0));
    let gain = gains_db(&tone[72_000..], &output[72_000..], 24_000)[0];
    assert!((gain - (24.0 - 40.0)).abs() < 0.01, "{gain} dB");
}

/// What is heard must not depend on an earlier pass: a new start measures anew.
#[test]
fn when_the_transport_starts_loudness_is_measured_anew() {
    let mut engine = benches();
    play(&mut engine, &noise(5, 48_000), |_| matched(Listen::A, 4.0));
    engine.restart_loudness();
    assert_eq!(engine.loudness(Listen::Dry), None);
    let quiet: Vec<f32> = noise(6, 48_000).iter().map(|sample| sample * 0.01).collect();
    let output = play(&mut engine, &quiet, |_| matched(Listen::A, 4.0));
    let gains = gains_db(&quiet, &output, 4800);
    assert!((gains[2] + 6.0).abs() < 0.1, "no gain until 400 ms are measured: {gains:?}");
    let (got, wanted) = (engine.loudness(Listen::Dry).unwrap(), measured(48_000.0, &[quiet]).unwrap());
    assert!((got - wanted).abs() < 0.05, "{got} LKFS instead of {wanted}");
}
