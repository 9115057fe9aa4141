use dryfit_dsp::engine::{Engine, Listen, Scene};
use proptest::prelude::*;

use crate::targets::{Formula, controls, engine, noise};

const LENGTH: usize = 20_000;

/// A scene from some sample on.
type Event = (usize, Scene);

/// Plays two channels in blocks of the sizes given, over and over, split at every event as a host with sample-accurate
/// automation does.
fn play(engine: &mut Engine<Formula>, input: &[Vec<f32>; 2], events: &[Event], sizes: &[usize]) -> [Vec<f32>; 2] {
    let [mut left, mut right] = input.clone();
    let (mut at, mut block_end, mut sizes) = (0, 0, sizes.iter().cycle());
    while at < left.len() {
        if block_end <= at {
            block_end = at + sizes.next().expect("sizes go round");
        }
        let scene = events.iter().rev().find(|(start, _)| *start <= at).map_or(Scene::default(), |(_, scene)| *scene);
        let next = events.iter().map(|(start, _)| *start).find(|&start| start > at).unwrap_or(usize::MAX);
        let end = block_end.min(next).min(left.len());
        engine.process(&scene, &mut [&mut left[at..end], &mut right[at..end]]);
        at = end;
    }
    [left, right]
}

fn bits(output: &[Vec<f32>; 2]) -> Vec<u32> {
    output.iter().flatten().map(|sample| sample.to_bits()).collect()
}

fn any_scene() -> impl Strategy<Value = Scene> {
    let listen = prop_oneof![Just(Listen::Dry), Just(Listen::A), Just(Listen::B)];
    (1u8..4, 0.0..10.0, 0.0..10.0, listen, any::<bool>(), -20.0..10.0).prop_map(
        |(position, volume, tone, listen, loudness_match, output_db)| Scene {
            controls: controls(position, volume, tone),
            listen,
            loudness_match,
            follow: true,
            output_db,
        },
    )
}

fn any_events() -> impl Strategy<Value = Vec<Event>> {
    prop::collection::vec((0..LENGTH, any_scene()), 1..12).prop_map(|mut events| {
        events.sort_by_key(|(start, _)| *start);
        events
    })
}

proptest! {
    // 30 s in all: each case plays 0.4 s seven times.
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Source: design.md section 2, "the same samples at any block size".
    #[test]
    fn the_samples_are_the_same_bit_for_bit_at_any_block_size(
        events in any_events(),
        sizes in prop::collection::vec(0usize..3000, 1..20).prop_filter("some samples", |sizes| sizes.iter().sum::<usize>() > 0),
        sample_rate in prop_oneof![Just(44_100.0), Just(48_000.0), Just(96_000.0)],
        seed in any::<u64>(),
    ) {
        let input = [noise(seed, LENGTH), noise(seed ^ 1, LENGTH)];
        let wanted = bits(&play(&mut engine(sample_rate, 2), &input, &events, &[LENGTH]));
        for size in [1, 17, 64, 512, 8192] {
            let got = bits(&play(&mut engine(sample_rate, 2), &input, &events, &[size]));
            prop_assert!(got == wanted, "blocks of {size}");
        }
        let mut once = engine(sample_rate, 2);
        let got = bits(&play(&mut once, &input, &events, &sizes));
        prop_assert!(got == wanted, "blocks of {sizes:?}");
        // And again after a reset, whatever was played before.
        once.reset();
        let again = bits(&play(&mut once, &input, &events, &[100_000]));
        prop_assert!(again == wanted, "after a reset");
    }
}
