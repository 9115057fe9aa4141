use assert_no_alloc::{AllocDisabler, assert_no_alloc, violation_count};
use dryfit_bundler::rendering::{render, render_following};
use dryfit_dsp::conversion::{Controls, Target};
use dryfit_dsp::document::Library;
use dryfit_dsp::engine::{Engine, Scene};
use dryfit_dsp::following::Follower;
use dryfit_plugin::compile::Desk;
use dryfit_plugin::session::Project;

use crate::stage::{FOLLOWERS, TWO_TONES, engine, followed, play, prepared, riff};

/// Counts what is allocated or freed inside `assert_no_alloc`, per thread.
#[global_allocator]
static ALLOCATOR: AllocDisabler = AllocDisabler;

const RATE: f64 = 48_000.0;

/// Source: issue 4, "the circuit part must not change by a bit when following is switched on and no other pickup is asked
/// for".
#[test]
fn where_the_same_pickup_sounds_following_does_not_change_a_bit() {
    let input = riff(RATE, 2.0);
    let turning = |sample: usize| {
        let mut scene = followed(1);
        scene.controls.knobs[1] = 10.0 - sample as f64 / 20_000.0;
        scene
    };
    let still = |sample: usize| Scene { follow: false, ..turning(sample) };
    let wanted = play(&mut engine(Follower::live, RATE, 1, &[TWO_TONES]), &input, 64, still);
    assert!(play(&mut engine(Follower::live, RATE, 1, &[TWO_TONES]), &input, 64, turning) == wanted);
    let mut none = Engine::new(RATE, 1, prepared(Follower::live, RATE, &[TWO_TONES]).0);
    assert!(play(&mut none, &input, 64, turning) == wanted, "nor does there being a follower");
}

#[test]
fn where_another_pickup_sounds_following_is_heard() {
    let input = riff(RATE, 1.0);
    let still = |_| Scene { follow: false, ..followed(5) };
    let without = play(&mut engine(Follower::live, RATE, 1, &[TWO_TONES]), &input, 64, still);
    assert!(play(&mut engine(Follower::live, RATE, 1, &[TWO_TONES]), &input, 64, |_| followed(5)) != without);
}

/// Source: design.md section 2, "the same samples at any block size, live or bounced, on any run".
#[test]
fn what_is_heard_is_the_same_at_any_block_size_at_every_rate_and_after_a_reset() {
    let rates = [44_100.0, 48_000.0, 88_200.0, 96_000.0, 192_000.0];
    for (make, rate) in FOLLOWERS.into_iter().flat_map(|make| rates.map(|rate| (make, rate))) {
        let input = riff(rate, 0.7);
        // Another pickup, a knob that moves, the recorded pickup again.
        let scene = |sample: usize| {
            let at = sample / 4096;
            let mut scene = followed([5, 5, 4, 1, 2][at % 5]);
            scene.controls.knobs[1] = 10.0 - (at % 4) as f64;
            scene
        };
        let mut once = engine(make, rate, 1, &[TWO_TONES, "five-way-neck-blend"]);
        let wanted = play(&mut once, &input, 4096, scene);
        assert!(wanted.iter().all(|sample| sample.is_finite()));
        for block in [1, 64, 512] {
            let got = play(&mut engine(make, rate, 1, &[TWO_TONES, "five-way-neck-blend"]), &input, block, scene);
            assert!(got == wanted, "blocks of {block} at {rate} Hz");
        }
        once.reset();
        assert!(play(&mut once, &input, 4096, scene) == wanted, "after a reset at {rate} Hz");
    }
}

/// Source: the contract of `Engine`.
#[test]
fn nothing_is_allocated_while_notes_are_followed() {
    let rates = [44_100.0, 48_000.0, 88_200.0, 96_000.0, 192_000.0];
    for (make, rate) in FOLLOWERS.into_iter().flat_map(|make| rates.map(|rate| (make, rate))) {
        let mut engine = engine(make, rate, 2, &[TWO_TONES, "five-way-neck-blend"]).expecting(20_000);
        let (mut left, mut right) = (riff(rate, 1.0), riff(rate, 1.0));
        let mut spares = FOLLOWERS.map(|make| prepared(make, rate, &[TWO_TONES]).1.clone());
        let before = violation_count();
        assert_no_alloc(|| {
            let blocks = left.chunks_mut(100).zip(right.chunks_mut(100));
            for (block, (left, right)) in blocks.enumerate() {
                let mut scene = followed([5, 4, 1, 2][block / 60 % 4]);
                scene.follow = block % 97 > 9;
                scene.controls.knobs[1] = (block % 30) as f64 / 3.0;
                engine.process(&scene, &mut [left, right]);
                match block % 100 {
                    20 | 40 => engine.exchange_follower(&mut spares[block % 100 / 20 - 1]),
                    80 => engine.reset(),
                    _ => {}
                }
            }
        });
        assert_eq!(violation_count() - before, 0, "at {rate} Hz");
    }
}

/// Source: issue 4 and design.md section 2, "the plug-in and `dryfit` produce the same samples".
#[test]
fn the_plug_in_follows_as_render_does_bit_for_bit() {
    let desk = Desk::new(Project::first_run(&Library::presets()));
    let compiled = desk.activate(RATE).1.unwrap();
    let conversion = compiled.benches[0].clone();
    let input = riff(RATE, 1.0);
    let controls = Controls { position: 5, ..Controls::default() };
    let wanted =
        render_following(&input, RATE as u32, conversion.clone(), compiled.followers.live.clone(), &controls, |_| {});
    assert!(wanted != render(&input, RATE as u32, conversion, &controls, |_| {}), "nothing was followed");
    let mut engine = Engine::new(RATE, 2, Vec::from(compiled.benches)).following(compiled.followers.live);
    let (mut left, mut right) = (input.clone(), input);
    for (left, right) in left.chunks_mut(441).zip(right.chunks_mut(441)) {
        engine.process(&followed(5), &mut [left, right]);
    }
    assert!(left == wanted && right == wanted);
}

/// A choice of conversions that did not ask the chosen one would be redesigned with every frame.
#[test]
fn the_plug_in_s_targets_let_their_conversion_say_what_is_heard() {
    let mut compiled = Desk::new(Project::first_run(&Library::presets())).activate(RATE).1.unwrap();
    let mut follower = compiled.followers.live;
    riff(RATE, 1.0).chunks_exact(32).for_each(|step| follower.hear(step));
    let controls = Controls { position: 5, ..Controls::default() };
    let target = &mut compiled.benches[0];
    let mut detail = vec![0.0; follower.size().lattice().points()];
    target.write_detail(&controls, follower.playing(), &mut detail);
    let moved = |by: f32| detail.iter().map(|value| value + by).collect::<Vec<f32>>();
    assert!(!target.tells_apart(&controls, &detail, &moved(0.01)), "0.09 dB");
    assert!(target.tells_apart(&controls, &detail, &moved(0.1)), "0.9 dB");
}
