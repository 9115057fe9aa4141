use dryfit_tests::naming::{AFTER, Material, Mistakes, named};
use rayon::prelude::*;

/// Seeds on which nothing was tuned.
const SEEDS: std::ops::Range<u64> = 340..344;

/// Source: issue 4, "90 % of frames right at 100 ms, 97 % at 200 ms for single notes with a calibrated guitar; two- and three-note chords 90 %
/// at 200 ms". Nothing is asked of power chords there; the study had 97 % of them with the pitches told (design.md), and 90 % is held.
#[test]
fn strings_are_named_as_they_play() {
    check(&[
        (Material::SingleNotes, Mistakes::default(), 0.90, 0.97),
        (Material::Stops(2), Mistakes::default(), 0.0, 0.90),
        (Material::Stops(3), Mistakes::default(), 0.0, 0.90),
        (Material::PowerChords, Mistakes::default(), 0.0, 0.90),
    ]);
}

/// Source: design.md, "Naming the string": tuning that is off by up to 15 cents is harmless, stiffness that is off by 20 % at random costs 10 % of
/// the names: 87 % of 97. Two points less are granted, because 0.2 are to spare and other processors round otherwise.
#[test]
fn a_guitar_that_is_described_a_little_wrong_is_named_nearly_as_well() {
    let (mistuned, stiffer) = (Mistakes { cents: 10.0, stiffness: 0.0 }, Mistakes { cents: 0.0, stiffness: 0.2 });
    check(&[(Material::SingleNotes, mistuned, 0.90, 0.97), (Material::SingleNotes, stiffer, 0.0, 0.85)]);
}

/// Material, what is wrong with its description, shares that are wanted after 100 and after 200 ms.
fn check(wanted: &[(Material, Mistakes, f64, f64)]) {
    let of_row = |&(material, mistakes, _, _): &(Material, Mistakes, f64, f64)| named(material, mistakes, 1, SEEDS);
    let all: Vec<_> = wanted.par_iter().map(of_row).collect();
    for ((material, mistakes, early, late), named) in wanted.iter().zip(all) {
        let shares = named.shares();
        println!("{material:?}, {mistakes:?}: {shares:.3?} of {} notes right after {AFTER:?} s", named.notes);
        assert!(shares[1] >= *early, "{material:?}, {mistakes:?}: {:.3} after 100 ms, wanted {early}", shares[1]);
        assert!(shares[2] >= *late, "{material:?}, {mistakes:?}: {:.3} after 200 ms, wanted {late}", shares[2]);
    }
}
