use dryfit_dsp::following::Follower;
use dryfit_dsp::string::{Note, performances};
use dryfit_tests::following::{Make, changes, guitar, recording, take};
use dryfit_tests::naming::{AFTER, Material, Mistakes, named};
use rayon::prelude::*;

use crate::stage::WAYS;

/// Seeds on which nothing was tuned.
const SEEDS: std::ops::Range<u64> = 340..344;

/// Source: issue 4, "90 % of frames right at 100 ms, 97 % at 200 ms for single notes with a calibrated guitar; two- and three-note chords 90 %
/// at 200 ms". Nothing is asked of power chords there; the study had 97 % of them with the pitches told (design.md), and 90 % is held.
#[test]
fn strings_are_named_as_they_play() {
    check(
        Follower::live,
        &[
            (Material::SingleNotes, Mistakes::default(), 0.90, 0.97),
            (Material::Stops(2), Mistakes::default(), 0.0, 0.90),
            (Material::Stops(3), Mistakes::default(), 0.0, 0.90),
            (Material::PowerChords, Mistakes::default(), 0.0, 0.90),
        ],
    );
}

/// Looking ahead must not name worse than as it plays: the same source.
#[test]
fn strings_are_named_looking_ahead() {
    check(
        Follower::ahead,
        &[
            (Material::SingleNotes, Mistakes::default(), 0.90, 0.97),
            (Material::Stops(2), Mistakes::default(), 0.0, 0.90),
        ],
    );
}

/// A finger that bends a string cannot take the note to another one. Source: common practice, no source. Where strings are most of what is
/// heard, the one that is played has to be, from a tenth of a second after the pluck on. What moves is now and then taken for a note of the
/// lowest string, whose partials are everywhere, and a note that sways all the time for one on the string below: a fifth of the time is granted
/// for that.
#[test]
fn a_bent_string_stays_the_string_that_it_is() {
    let guitar = guitar();
    let performance = performances::bends_and_vibrato();
    let change = &changes(&guitar)[0];
    for seed in [31, 32] {
        let recorded = recording(change, &take(&guitar, &performance, seed), seed);
        for (way, make) in WAYS {
            let mut follower = make(&change.recorded.source(), 48_000.0, &recorded);
            let late = follower.latency() as f64 / 48_000.0;
            let (mut right, mut asked) = (0usize, 0usize);
            for (step, samples) in recorded.chunks(32).enumerate() {
                follower.hear(samples);
                let now = step as f64 * 32.0 / 48_000.0 - late;
                let played = |note: &&Note| now > note.start + 0.1 && now < note.start + note.length - 0.05;
                if let Some(note) = performance.notes.iter().find(played) {
                    let power = |string: &usize| follower.playing().power(*string).iter().sum::<f32>();
                    let loudest = (0..guitar.strings.len()).max_by(|a, b| power(a).total_cmp(&power(b)));
                    asked += 1;
                    right += usize::from(loudest == Some(note.string));
                }
            }
            let share = right as f64 / asked as f64;
            println!("seed {seed}, {way}: on the right string {:.1} % of the time", 100.0 * share);
            assert!(share > 0.8, "seed {seed}, {way}: on the right string {share:.3} of the time");
        }
    }
}

/// Source: design.md, "Naming the string": tuning that is off by up to 15 cents is harmless, stiffness that is off by 20 % at random costs 10 % of
/// the names: 87 % of 97. Two points less are granted, because 0.2 are to spare and other processors round otherwise.
#[test]
fn a_guitar_that_is_described_a_little_wrong_is_named_nearly_as_well() {
    let (mistuned, stiffer) = (Mistakes { cents: 10.0, stiffness: 0.0 }, Mistakes { cents: 0.0, stiffness: 0.2 });
    check(
        Follower::live,
        &[(Material::SingleNotes, mistuned, 0.90, 0.97), (Material::SingleNotes, stiffer, 0.0, 0.85)],
    );
}

/// A follower; material, what is wrong with its description, shares that are wanted after 100 and after 200 ms.
fn check(make: Make, wanted: &[(Material, Mistakes, f64, f64)]) {
    let of_row =
        |&(material, mistakes, _, _): &(Material, Mistakes, f64, f64)| named(make, material, mistakes, 1, SEEDS);
    let all: Vec<_> = wanted.par_iter().map(of_row).collect();
    for ((material, mistakes, early, late), named) in wanted.iter().zip(all) {
        let shares = named.shares();
        println!("{material:?}, {mistakes:?}: {shares:.3?} of {} notes right after {AFTER:?} s", named.notes);
        assert!(shares[1] >= *early, "{material:?}, {mistakes:?}: {:.3} after 100 ms, wanted {early}", shares[1]);
        assert!(shares[2] >= *late, "{material:?}, {mistakes:?}: {:.3} after 200 ms, wanted {late}", shares[2]);
    }
}
