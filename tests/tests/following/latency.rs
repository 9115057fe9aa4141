use dryfit_bundler::rendering::{render, render_following};
use dryfit_dsp::engine::{Engine, Listen, Scene};
use dryfit_dsp::following::Follower;

use crate::stage::{TWO_TONES, engine, followed, play, prepared, riff};

const RATE: f64 = 48_000.0;

/// The recorded pickup on bench A, another wiring on bench B, everything moving: knobs, selector, what is heard, how loud.
fn moving(sample: usize) -> Scene {
    let at = sample / 64;
    let mut scene = followed(1);
    scene.controls.knobs[0] = 10.0 - (at % 200) as f64 / 40.0;
    scene.controls.knobs[1] = (at % 77) as f64 / 8.0;
    scene.listen = [Listen::A, Listen::Dry, Listen::A, Listen::B][at / 300 % 4];
    scene.loudness_match = at % 500 > 250;
    scene.output_db = -((at / 100 % 7) as f64);
    scene
}

/// A follower that looks ahead costs latency, one that does not costs none; it is whole steps of the control grid at every rate.
/// Source: issue 4, "zero latency by default; a look-ahead mode"; design.md section 5, "looking 43 to 85 ms ahead".
#[test]
fn the_latency_is_between_43_and_85_ms_at_every_rate_and_none_by_default() {
    for rate in [22_050.0, 44_100.0, 48_000.0, 88_200.0, 96_000.0, 176_400.0, 192_000.0] {
        let live = engine(Follower::live, rate, 1, &[TWO_TONES]);
        assert_eq!(live.latency(), 0);
        let ahead = engine(Follower::ahead, rate, 1, &[TWO_TONES]);
        assert!(ahead.latency().is_multiple_of(ahead.step()), "at {rate} Hz");
        let milliseconds = 1e3 * ahead.latency() as f64 / rate;
        assert!((43.0..=85.0).contains(&milliseconds), "{milliseconds} ms at {rate} Hz");
    }
}

/// Dry, both benches, fades and loudness match are delayed alike. Source: issue 4, "exact when the same pickups sound": what is
/// heard without look-ahead is the truth here.
#[test]
fn where_all_is_exact_what_is_heard_is_the_sound_without_latency_later_bit_for_bit() {
    for rate in [44_100.0, 48_000.0, 96_000.0] {
        let input = riff(rate, 2.0);
        let wirings = [TWO_TONES, TWO_TONES];
        let wanted = play(&mut engine(Follower::live, rate, 1, &wirings), &input, 64, moving);
        let mut ahead = engine(Follower::ahead, rate, 1, &wirings);
        let got = play(&mut ahead, &input, 64, moving);
        let latency = ahead.latency();
        assert!(got[..latency].iter().all(|&sample| sample == 0.0), "something is heard before the take at {rate} Hz");
        assert!(got[latency..] == wanted[..wanted.len() - latency], "at {rate} Hz");
    }
}

/// Source: the same; and dry is the take itself.
#[test]
fn dry_is_the_take_later() {
    let input = riff(RATE, 0.5);
    let mut ahead = engine(Follower::ahead, RATE, 1, &[TWO_TONES]);
    let dry = |_| Scene { listen: Listen::Dry, ..followed(5) };
    let got = play(&mut ahead, &input, 100, dry);
    assert!(got[ahead.latency()..] == input[..input.len() - ahead.latency()]);
}

/// A rendered file is as long as its take and in step with it, to its end. Source: a render without latency.
#[test]
fn a_render_is_in_step_with_its_take_to_the_last_sample() {
    let input = riff(RATE, 1.0);
    let (mut conversions, follower) = prepared(Follower::ahead, RATE, &[TWO_TONES]);
    let conversion = conversions.remove(0);
    let exact = followed(1).controls;
    let wanted = render(&input, RATE as u32, conversion.clone(), &exact, |_| {});
    let mut told = 0;
    let got = render_following(&input, RATE as u32, conversion.clone(), follower.clone(), &exact, |done| told += done);
    assert!(got == wanted && told == input.len());
    // A take shorter than the latency.
    let short = &input[..1000];
    let wanted = render(short, RATE as u32, conversion.clone(), &exact, |_| {});
    assert!(render_following(short, RATE as u32, conversion, follower, &exact, |_| {}) == wanted);
}

/// Source: design.md section 2, "the same samples": what was looked at before does not matter.
#[test]
fn another_latency_begins_anew() {
    let input = riff(RATE, 0.6);
    let (_, live) = prepared(Follower::live, RATE, &[TWO_TONES]);
    let mut engine = engine(Follower::ahead, RATE, 1, &[TWO_TONES]);
    play(&mut engine, &input, 64, |_| followed(5));
    let (mut other, room) = (live.clone(), engine.latency());
    engine.exchange_follower(&mut other);
    assert_eq!((engine.latency(), other.latency()), (0, room));
    let mut fresh = crate::stage::engine(Follower::live, RATE, 1, &[TWO_TONES]);
    assert!(play(&mut engine, &input, 64, |_| followed(5)) == play(&mut fresh, &input, 64, |_| followed(5)));
    engine.exchange_follower(&mut other);
    assert_eq!((engine.latency(), other.latency()), (room, 0));
    // No room, and none taken: nothing is allocated for it.
    let (conversions, _) = prepared(Follower::live, RATE, &[TWO_TONES]);
    let mut narrow = Engine::new(RATE, 1, conversions).following(live);
    let (_, mut ahead) = prepared(Follower::ahead, RATE, &[TWO_TONES]);
    narrow.exchange_follower(&mut ahead);
    assert_eq!((narrow.latency(), ahead.latency()), (0, room));
}
