//! Takes as a whole.

use dryfit_dsp::string::{Gesture, Note, Performance, Realism, Take, performances, stem, synthesise};
use proptest::prelude::*;

use crate::guitar::{guitar, odd_guitar, pickup, three_single_coils};
use crate::measure::{RATE, Spectrum, one_note};

#[test]
fn the_same_seed_gives_the_same_samples_and_another_seed_another_take() {
    let (guitar, performance) = (three_single_coils(), performances::strummed_chords());
    let take = |seed| synthesise(&guitar, &performance, seed, RATE, &Realism::played());
    let (one, again, other) = (take(7), take(7), take(8));
    assert!(one == again);
    assert!((0..3).all(|i| one.pickups[i] != other.pickups[i]));
    assert_eq!(one.pickups[0].len(), (performance.length() * RATE).ceil() as usize);
}

#[test]
fn another_pickup_on_the_guitar_changes_nothing_that_the_others_hear() {
    let performance = performances::double_stops();
    let played = |pickups| synthesise(&guitar(pickups), &performance, 5, RATE, &Realism::played());
    let (alone, together) = (played(vec![pickup(0.04)]), played(vec![pickup(0.16), pickup(0.04)]));
    assert!(alone.pickups[0] == together.pickups[1]);
}

/// Tolerance: six f32 roundings of samples below 4.
#[test]
fn the_stems_of_the_strings_add_up_to_the_take() {
    let (guitar, performance) = (three_single_coils(), performances::strummed_chords());
    let whole = synthesise(&guitar, &performance, 2, RATE, &Realism::played());
    let stems: Vec<Take> = (0..6).map(|s| stem(&guitar, &performance, s, 2, RATE, &Realism::played())).collect();
    assert!(stems.iter().all(|stem| stem.peak(1) > 0.1));
    for i in 0..3 {
        for (t, &sample) in whole.pickups[i].iter().enumerate() {
            let sum: f32 = stems.iter().map(|stem| stem.pickups[i][t]).sum();
            assert!((sum - sample).abs() < 6.0 * 4.0 * f32::EPSILON, "pickup {i}, sample {t}: {sum}, not {sample}");
        }
    }
}

/// The sample rate is the instrument's, not the string's. Tolerance -100 dB of the peak: rounding of the phasors over a
/// second; the ideal string has no partial near the end of either band that only one rate would hold.
#[test]
fn another_sample_rate_takes_other_samples_of_the_same_sound() {
    let guitar = three_single_coils();
    let take = |rate| synthesise(&guitar, &one_note(4, 2), 2, rate, &Realism::ideal());
    let (slow, fast) = (take(RATE), take(2.0 * RATE));
    // The last 12 ms are the note's end, whose first sample depends on the rate.
    let ringing = slow.pickups[2].iter().zip(fast.pickups[2].iter().step_by(2)).take(95_000);
    let difference = ringing.map(|(a, b)| (a - b).abs()).fold(0.0, f32::max);
    assert!(difference < 1e-5 * slow.peak(2), "{difference}");
}

/// Common practice, no source: one string sounds one note at a time.
#[test]
fn a_new_note_cuts_off_the_one_before_on_its_string_only() {
    let guitar = guitar(vec![pickup(0.041)]);
    let cut = |string| Performance { notes: vec![Note::new(0.0, 2.0, 1, 0), Note::new(0.5, 1.5, string, 7)] };
    let level = |performance| {
        let take = synthesise(&guitar, &performance, 2, RATE, &Realism::ideal());
        Spectrum::of(&take.pickups[0][28_000..]).peak(110.0).1
    };
    assert!(level(cut(1)) < 1e-4 * level(cut(2)), "the open string still sounds");
}

/// The pick is heard alike wherever a pickup lies, for 8.3 ms (reference study, place/t14.py), and lies on the note at about
/// its hundredth. Tolerance of the alike: f32 rounding.
#[test]
fn the_pick_is_heard_alike_by_every_pickup_for_a_few_milliseconds() {
    let guitar = three_single_coils();
    let take = |pick_noise| synthesise(&guitar, &one_note(2, 0), 3, RATE, &Realism { pick_noise, ..Realism::ideal() });
    let (noisy, clean) = (take(0.008), take(0.0));
    let noise = |i: usize| -> Vec<f32> { noisy.pickups[i].iter().zip(&clean.pickups[i]).map(|(a, b)| a - b).collect() };
    let (bridge, neck) = (noise(0), noise(2));
    assert!(bridge.iter().zip(&neck).all(|(a, b)| (a - b).abs() < 1e-6));
    assert!(bridge[0] == 0.0 && bridge[399..].iter().all(|&sample| sample == 0.0));
    assert!(bridge[1].abs() < 1e-4, "the burst begins softly");
    let loudest = bridge.iter().fold(0.0, |peak: f32, sample| peak.max(sample.abs())) / clean.peak(0);
    assert!(loudest > 0.005 && loudest < 0.05, "{loudest}");
}

/// 20 dB are ten times; the tolerance is f32 rounding.
#[test]
fn a_note_may_be_played_louder() {
    let guitar = three_single_coils();
    let [soft, loud] = [0.0, 20.0].map(|level_db| {
        let performance = Performance { notes: vec![Note { level_db, ..Note::new(0.0, 0.5, 2, 3) }] };
        synthesise(&guitar, &performance, 3, RATE, &Realism::played()).peak(0)
    });
    assert!((loud / soft - 10.0).abs() < 1e-4, "{soft} and {loud}");
}

/// Nothing clicks: a take ends in silence. The tolerance is one part in 10000 of the peak.
#[test]
fn every_performance_is_for_six_strings_and_ends_without_a_click() {
    let guitar = three_single_coils();
    for (name, performance) in performances::all().into_iter().chain([("demo", performances::demo())]) {
        assert!(performance.notes.iter().all(|note| note.string < 6 && note.fret <= 14), "{name}");
        let take = synthesise(&guitar, &performance, 4, RATE, &Realism::played());
        let last = take.pickups.iter().map(|signal| signal.last().unwrap().abs()).fold(0.0, f32::max);
        assert!(last < 1e-4 * take.peak(0) && take.peak(0) > 0.2, "{name}");
        println!("{name}: {:.2} s, peaks {:?}", performance.length(), [0, 1, 2].map(|i| take.peak(i)));
    }
}

#[test]
fn four_performances_are_single_lines_and_four_are_not() {
    let together = |performance: &Performance| {
        let overlap = |a: &Note, b: &Note| a != b && b.start >= a.start && b.start < a.start + a.length;
        performance.notes.iter().any(|a| performance.notes.iter().any(|b| overlap(a, b)))
    };
    let all = performances::all();
    assert_eq!(
        all.iter().map(|(_, performance)| together(performance)).collect::<Vec<_>>(),
        [[false; 4], [true; 4]].concat()
    );
    assert!(all.iter().all(|(_, performance)| performance.length() > 5.5 && performance.length() < 6.1));
    let demo = performances::demo();
    assert!(demo.length() > 8.0 && demo.length() < 12.0 && together(&demo));
}

prop_compose! {
    fn odd_performance()(
        notes in prop::collection::vec((0.0_f64..0.5, 0.0_f64..0.3, 0_usize..10, 0_u8..37, -40.0_f64..20.0), 0..6),
        semitones in -3.0_f64..3.0,
    ) -> Performance {
        let gesture = Gesture::Bend { semitones, delay: 0.0, rise: 0.0 };
        let note = |(start, length, string, fret, level_db)| {
            Note { level_db, gesture, ..Note::new(start, length, string, fret) }
        };
        Performance { notes: notes.into_iter().map(note).collect() }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// 8000 partials of 1/n each at +20 dB, on a pickup of +20 dB, stay far below 10000.
    #[test]
    fn any_performance_on_any_valid_guitar_is_finite(
        guitar in odd_guitar(), performance in odd_performance(), seed: u64, rate in 8_000.0_f64..192_000.0
    ) {
        let realism = Realism { nonlinearity: 0.02, filled_nulls: true, ..Realism::played() };
        let take = synthesise(&guitar, &performance, seed, rate, &realism);
        prop_assert!(take.pickups.iter().flatten().all(|sample| sample.abs() < 1e4));
        prop_assert_eq!(take.pickups.len(), 2);
    }
}
