use assert_no_alloc::{AllocDisabler, assert_no_alloc, violation_count};
use dryfit_dsp::engine::{Engine, Listen, Scene};

use crate::targets::{Formula, controls, engine, guitar, noise, play, scene};

/// Counts what is allocated or freed inside `assert_no_alloc`, per thread.
#[global_allocator]
static ALLOCATOR: AllocDisabler = AllocDisabler;

/// Allocations and deallocations while `run` runs.
fn allocations(run: impl FnOnce()) -> u32 {
    let before = violation_count();
    assert_no_alloc(run);
    violation_count() - before
}

#[test]
fn the_counter_finds_an_allocation() {
    assert_eq!(allocations(|| drop(std::hint::black_box(Box::new(1)))), 2);
}

/// Source: the contract of `Engine`.
#[test]
fn nothing_is_allocated_after_new_at_any_block_size_whatever_moves() {
    for size in [0usize, 1, 17, 64, 512, 8192, 100_000] {
        let mut engine = engine(48_000.0, 2);
        let mut spare = Some(Formula::new(48_000.0, guitar));
        let [mut left, mut right] = [noise(10, size), noise(11, size)];
        let count = allocations(|| {
            for block in 0..(200_000 / size.max(200)).max(3) {
                let moving = block as f64 % 7.0;
                let scene = Scene {
                    controls: controls(1 + (block % 3) as u8, moving, 10.0 - moving),
                    listen: [Listen::Dry, Listen::A, Listen::B][block / 2 % 3],
                    loudness_match: block % 5 > 1,
                    follow: block % 3 > 0,
                    output_db: -moving,
                };
                engine.process(&scene, &mut [&mut left, &mut right]);
                match block % 50 {
                    10 => engine.restart_loudness(),
                    20 => engine.reset(),
                    30 => spare = spare.take().map(|target| engine.exchange(0, target)),
                    _ => {}
                }
                std::hint::black_box(engine.loudness(Listen::A));
            }
        });
        assert_eq!(count, 0, "blocks of {size}");
    }
}

/// Why: one such sample would stay in the filters for their whole length and in the loudness for good.
#[test]
fn samples_that_are_no_numbers_or_absurdly_loud_sound_as_silence() {
    let clean: Vec<f32> =
        noise(12, 9000).iter().enumerate().map(|(n, &x)| if n % 700 == 9 { 0.0 } else { x }).collect();
    let bad = [f32::NAN, f32::INFINITY, f32::NEG_INFINITY, f32::MAX, -1e30];
    let dirty: Vec<f32> =
        clean.iter().enumerate().map(|(n, &x)| if n % 700 == 9 { bad[n / 700 % bad.len()] } else { x }).collect();
    for listen in [Listen::Dry, Listen::A, Listen::B] {
        let set = Scene { loudness_match: true, ..scene(listen, controls(2, 5.0, 5.0)) };
        let output = play(&mut engine(48_000.0, 1), &dirty, |_| set);
        assert_eq!(output, play(&mut engine(48_000.0, 1), &clean, |_| set), "{listen:?}");
        assert!(output.iter().all(|sample| sample.is_finite()));
    }
}

/// Denormal numbers can cost a processor a hundred times a normal one's time.
#[test]
fn a_dying_tail_never_leaves_denormal_numbers() {
    for listen in [Listen::Dry, Listen::A, Listen::B] {
        let mut engine = engine(48_000.0, 1);
        let set = scene(listen, controls(1, 5.0, 5.0));
        // Half a second of noise, then twenty seconds that fall by 200 dB a second, far below the smallest number.
        let fading = noise(13, 984_000).into_iter().enumerate().map(|(n, sample)| {
            let seconds = n.saturating_sub(24_000) as f64 / 48_000.0;
            (f64::from(sample) * 10f64.powf(-10.0 * seconds)) as f32
        });
        let output = play(&mut engine, &fading.collect::<Vec<_>>(), |_| set);
        assert!(output.iter().all(|sample| *sample == 0.0 || sample.is_normal()), "{listen:?}");
        assert!(output[960_000..].iter().all(|sample| *sample == 0.0), "{listen:?} never ends");
    }
}

/// Source: the documentation of `Engine::process`.
#[test]
fn a_wrong_number_of_channels_or_unequal_ones_are_no_harm() {
    let set = scene(Listen::A, controls(2, 5.0, 5.0));
    let input = noise(14, 1000);
    let wanted = play(&mut engine(48_000.0, 1), &input, |_| set);
    let (mut one, mut other, mut beyond) = (input.clone(), input.clone(), input.clone());
    let mut two = engine(48_000.0, 2);
    two.process(&set, &mut []);
    two.process(&set, &mut [&mut one, &mut other[..600], &mut beyond]);
    assert_eq!(one[..600], wanted[..600]);
    assert_eq!(other[..600], wanted[..600]);
    assert_eq!(one[600..], input[600..]);
    assert_eq!(beyond, input);
    // The second channel goes missing and counts as silent; the first goes on.
    two.process(&set, &mut [&mut one[600..]]);
    assert_eq!(one, wanted);
    Engine::<Formula>::new(48_000.0, 0, Vec::new()).process(&set, &mut [&mut one]);
    assert_eq!(one, wanted);
}

/// A bench that does not exist sounds as dry.
#[test]
fn without_benches_everything_is_dry() {
    let input = noise(15, 1000);
    let mut none = Engine::new(48_000.0, 1, Vec::<Formula>::new());
    for listen in [Listen::A, Listen::B, Listen::Dry] {
        assert_eq!(play(&mut none, &input, |_| scene(listen, controls(1, 5.0, 5.0))), input);
    }
}
