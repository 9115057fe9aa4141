use dryfit_dsp::string::performances;
use dryfit_tests::following::{Way, changes, distances, guitar, take};
use rayon::prelude::*;

/// Where following has least to go by, it must not do harm. Source: issue 4, "bends, vibrato and palm mutes never worse than static by more than
/// 0.3 dB on any take".
#[test]
fn bends_vibrato_and_palm_mutes_are_never_worse_than_static_by_more_than_0_3_db() {
    let guitar = guitar();
    let wanted = ["bridge to neck", "bridge to middle", "bridge to neck + bridge", "neck to bridge"];
    let changes: Vec<_> = changes(&guitar).into_iter().filter(|change| wanted.contains(&change.name)).collect();
    let material =
        [("bends and vibrato", performances::bends_and_vibrato()), ("palm mutes", performances::palm_mutes())];
    let played: Vec<_> = material
        .iter()
        .flat_map(|(name, performance)| [21, 31, 32, 33].map(|seed| (*name, seed, take(&guitar, performance, seed))))
        .collect();
    let all: Vec<_> = changes.iter().flat_map(|change| played.iter().map(move |played| (change, played))).collect();
    all.par_iter().for_each(|(change, (name, seed, played))| {
        let off = distances(change, played, *seed, &[Way::Static, Way::Live, Way::Ahead, Way::Whole]);
        println!(
            "{}, {name}, seed {seed}: static {:.2}, live {:.2}, ahead {:.2}, whole {:.2} dB",
            change.name, off[0], off[1], off[2], off[3]
        );
        let worst = off[1..].iter().fold(0.0f64, |worst, &off| worst.max(off));
        assert!(worst < off[0] + 0.3, "{}, {name}, seed {seed}: {off:.2?} dB static, live, ahead, whole", change.name);
    });
}

/// A string that is bent stays the string that it is: named anew at the pitch it was bent to, where it looks like a thicker one, it cost
/// 1.4 dB on these takes. Source of the bounds: issue 4, 2.9 dB as it plays and 2.6 dB with the whole take known.
#[test]
fn a_bend_of_a_tone_stays_on_its_string() {
    const NOISE: u64 = 4;
    let guitar = guitar();
    let change = changes(&guitar).into_iter().find(|change| change.name == "bridge to neck").unwrap();
    [66, 82].par_iter().for_each(|&seed| {
        let played = take(&guitar, &performances::bends_and_vibrato(), seed);
        let off = distances(&change, &played, NOISE, &[Way::Ahead, Way::Whole]);
        println!("seed {seed}: {off:.2?} dB looking ahead, with the whole take known");
        assert!(off[0] < 2.9 && off[1] < 2.6, "seed {seed}: {off:.2?} dB");
    });
}
