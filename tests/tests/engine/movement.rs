use dryfit_dsp::conversion::{Controls, Grid};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_dsp::filter::{Designer, Filter, Size, reference};

use crate::targets::{Formula, LogGain, controls, engine, guitar, linear_pots, noise, play, rms, saw, scene, sine};

const RATE: f64 = 48_000.0;
/// Controls at a share of a sweep, 0 to 1.
type Sweep = fn(f64) -> Controls;

/// The ideal filter is designed anew this often, and interpolated in between.
const IDEAL: usize = 8;

/// The filter that varies ideally: taps designed every 8 samples for the controls of that moment, interpolated
/// linearly, convolved by definition. `from` and `to` (samples) bound what is computed.
fn ideal(target: LogGain, input: &[f32], (from, to): (usize, usize), at: impl Fn(usize) -> Controls) -> Vec<f64> {
    let mut designer = Designer::new(&Grid::up_to(RATE / 2.0), RATE);
    let hertz = Grid::up_to(RATE / 2.0).hertz().to_vec();
    let mut filter = designer.silent();
    let mut response = |sample: usize| {
        let curve: Vec<f64> = hertz.iter().map(|&hertz| target(&at(sample), hertz)).collect();
        designer.design(&curve, &mut filter);
        reversed(&filter)
    };
    let mut output = Vec::new();
    let (mut old, mut new) = (Vec::new(), response(from));
    for n in from..to {
        if (n - from) % IDEAL == 0 {
            (old, new) = (new, response(n + IDEAL));
        }
        let window = &input[n + 1 - old.len()..=n];
        let share = ((n - from) % IDEAL) as f64 / IDEAL as f64;
        output.push((1.0 - share) * dot(&old, window) + share * dot(&new, window));
    }
    output
}

/// The taps and tails as one response of 4096 samples, last one first; the wirings moved here have no tail beyond.
fn reversed(filter: &Filter) -> Vec<f32> {
    reference::impulse_response(filter, RATE, 4096).into_iter().rev().collect()
}

fn dot(taps: &[f32], window: &[f32]) -> f64 {
    let partial = |(taps, window): (&[f32], &[f32])| -> f32 { taps.iter().zip(window).map(|(a, b)| a * b).sum() };
    taps.chunks(32).zip(window.chunks(32)).map(|chunks| f64::from(partial(chunks))).sum()
}

/// Error, in dB, of a sweep that takes `seconds`, against the ideal filter whose controls come one step late.
fn sweep_error_db(target: LogGain, input: &[f32], seconds: f64, at: impl Fn(f64) -> Controls) -> f64 {
    let start = 8000;
    let length = (seconds * RATE) as usize;
    let moment = |n: usize| at((n.saturating_sub(start) as f64 / length as f64).min(1.0));
    let step = Size::at(RATE).step;
    let range = (start, start + length + 1000);
    let wanted = ideal(target, input, range, |n| moment(n - step));
    let mut engine = Engine::new(RATE, 1, vec![Formula::new(RATE, target)]);
    let got = play(&mut engine, &input[..range.1], |n| scene(Listen::A, moment(n)));
    let error = rms(got[range.0..].iter().zip(&wanted).map(|(&got, &wanted)| f64::from(got) - wanted));
    20.0 * (error / rms(wanted.iter().copied())).log10()
}

/// Bounds: design.md section 8. The ideal and the one step of delay are stated there and in [`ideal`].
#[test]
fn a_full_sweep_in_50_ms_is_45_db_and_in_500_ms_70_db_from_the_ideal_varying_filter() {
    let length = 8000 + 24_000 + 1000;
    let signals = [("110 Hz", saw(RATE, length)), ("1 kHz sine", sine(RATE, 1000.0, length))];
    let sweeps: [(&str, LogGain, Sweep); 4] = [
        ("volume 10 -> 0", guitar, |u| controls(1, 10.0 - 10.0 * u, 10.0)),
        ("volume 0 -> 10", guitar, |u| controls(1, 10.0 * u, 10.0)),
        ("tone 10 -> 0", guitar, |u| controls(1, 10.0, 10.0 - 10.0 * u)),
        ("linear tone 10 -> 0", linear_pots, |u| controls(1, 10.0, 10.0 - 10.0 * u)),
    ];
    for (seconds, bound) in [(0.05, -45.0), (0.5, -70.0)] {
        for (name, target, sweep) in sweeps {
            for (signal, input) in &signals {
                let error = sweep_error_db(target, input, seconds, sweep);
                println!("{name} in {seconds} s, {signal}: {error:.1} dB");
                assert!(error <= bound, "{name} in {seconds} s, {signal}: {error:.1} dB");
            }
        }
    }
}

/// Largest third difference: grows with the steepness of corners, so a click stands out of any smooth signal.
fn roughness(samples: &[f32]) -> f64 {
    let third = |s: &[f32]| f64::from(s[3]) - 3.0 * f64::from(s[2]) + 3.0 * f64::from(s[1]) - f64::from(s[0]);
    samples.windows(4).map(|window| third(window).abs()).fold(0.0, f64::max)
}

/// Largest roughness around a change at `moments`, over that of the two steady sounds. `hard` cuts instead.
fn roughness_of_change(input: &[f32], from: Scene, to: Scene, hard: bool) -> f64 {
    let (a, b) = (play(&mut engine(RATE, 1), input, |_| from), play(&mut engine(RATE, 1), input, |_| to));
    let steady = roughness(&a[6000..]).max(roughness(&b[6000..]));
    // One period of 110 Hz, at every step of the grid.
    let moments = (0..7).map(|i| 6016 + 64 * i);
    let changed = moments.map(|at| {
        let output = if hard {
            [&a[..at], &b[at..]].concat()
        } else {
            play(&mut engine(RATE, 1), input, |n| if n < at { from } else { to })
        };
        roughness(&output[6000..])
    });
    changed.fold(0.0, f64::max) / steady
}

/// Source: the measure of the numerical study (third difference); the bound is the signal's own. That the measure
/// finds a click is shown by a hard cut.
#[test]
fn a_selector_move_or_another_choice_makes_no_corner_sharper_than_the_signals_own() {
    let input = saw(RATE, 12_000);
    let open = |position| controls(position, 10.0, 10.0);
    let changes = [
        ("selector 1 -> 2", scene(Listen::A, open(1)), scene(Listen::A, open(2))),
        ("selector 1 -> 3", scene(Listen::A, open(1)), scene(Listen::A, open(3))),
        ("selector 3 -> 2", scene(Listen::A, open(3)), scene(Listen::A, open(2))),
        ("dry -> A", scene(Listen::Dry, open(3)), scene(Listen::A, open(3))),
        ("A -> B", scene(Listen::A, open(3)), scene(Listen::B, open(3))),
        ("output gain -6 dB", scene(Listen::A, open(1)), Scene { output_db: -6.0, ..scene(Listen::A, open(1)) }),
    ];
    for (name, from, to) in changes {
        let faded = roughness_of_change(&input, from, to, false);
        let hard = roughness_of_change(&input, from, to, true);
        println!("{name}: {faded:.3}, cut hard {hard:.2}");
        assert!(faded <= 1.0 + 1e-3, "{name}: {faded:.3} times the signal's own");
        assert!(hard > 1.0 + 1e-3, "{name}: the measure does not find a hard cut ({hard:.2})");
    }
}

/// The rule of the control grid: while a jump fades, further changes wait, and the newest wins.
#[test]
fn after_a_flurry_of_selector_moves_the_last_one_sounds() {
    let input = noise(5, 20_000);
    let moved = play(&mut engine(RATE, 1), &input, |n| {
        let position = if n < 640 {
            1
        } else if n < 640 + 320 {
            1 + (n / 64 % 3) as u8
        } else {
            3
        };
        scene(Listen::A, controls(position, 6.0, 6.0))
    });
    let still = play(&mut engine(RATE, 1), &input, |_| scene(Listen::A, controls(3, 6.0, 6.0)));
    assert_ne!(moved[..700], still[..700]);
    // Two fades of 2 ms after the last change everything is over, to the last bit.
    assert_eq!(moved[640 + 320 + 256..], still[640 + 320 + 256..]);
}

/// Source: design.md section 5, "a control change reaches the sound within one grid step".
#[test]
fn a_knob_has_arrived_one_step_after_the_boundary_that_saw_it() {
    let input = noise(6, 4096);
    let moved =
        play(&mut engine(RATE, 1), &input, |n| scene(Listen::A, controls(1, if n < 2048 { 10.0 } else { 4.0 }, 10.0)));
    let before = play(&mut engine(RATE, 1), &input, |_| scene(Listen::A, controls(1, 10.0, 10.0)));
    let after = play(&mut engine(RATE, 1), &input, |_| scene(Listen::A, controls(1, 4.0, 10.0)));
    assert_eq!(moved[..2048], before[..2048]);
    assert_ne!(moved[2048..2112], after[2048..2112]);
    assert_eq!(moved[2112..], after[2112..]);
}

/// Both benches and dry run always, so a choice is heard in full after its fade, with all that came before in it.
#[test]
fn a_choice_is_complete_after_2_ms() {
    let input = noise(7, 8192);
    let set = controls(2, 5.0, 5.0);
    let all = [Listen::Dry, Listen::A, Listen::B];
    let still = all.map(|listen| play(&mut engine(RATE, 1), &input, |_| scene(listen, set)));
    for (from, _) in all.iter().enumerate() {
        for (to, _) in all.iter().enumerate().filter(|&(to, _)| to != from) {
            let output = play(&mut engine(RATE, 1), &input, |n| scene(all[if n < 4096 { from } else { to }], set));
            assert_eq!(output[..4096], still[from][..4096]);
            assert_eq!(output[4096 + 96..], still[to][4096 + 96..]);
        }
    }
    assert_eq!(still[0], input, "dry is the take to the last bit");
}

/// A document edited while it plays: the new target fades in like a jump, the old one comes back for dropping.
#[test]
fn an_exchanged_target_sounds_after_a_fade() {
    let input = noise(8, 8192);
    let set = scene(Listen::B, controls(2, 5.0, 5.0));
    let mut exchanged = engine(RATE, 1);
    let first = play(&mut exchanged, &input[..4096], |_| set);
    exchanged.exchange(1, Formula::new(RATE, guitar));
    let second = play(&mut exchanged, &input[4096..], |_| set);
    assert_eq!(first, play(&mut engine(RATE, 1), &input, |_| set)[..4096]);
    let guitar = play(&mut engine(RATE, 1), &input, |_| Scene { listen: Listen::A, ..set });
    assert_ne!(second[..96], guitar[4096..4192]);
    assert_eq!(second[96..], guitar[4192..]);
}

/// Source: 20 dB are a factor of 10.
#[test]
fn the_output_gain_arrives_over_one_step_and_minus_infinity_is_silence() {
    let input = noise(9, 512);
    let gain = |n: usize| [0.0, -20.0, f64::NAN, f64::NEG_INFINITY][n / 128];
    let output = play(&mut engine(RATE, 1), &input, |n| Scene { output_db: gain(n), ..Scene::default() });
    assert_eq!(output[..128], input[..128]);
    for n in (192..256).chain(256..384) {
        assert!((output[n] - 0.1 * input[n]).abs() < 1e-7, "sample {n}");
    }
    assert!(output[448..].iter().all(|&sample| sample == 0.0));
}
