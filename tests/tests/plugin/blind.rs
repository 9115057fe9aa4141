use dryfit_plugin::abx::{Abx, fair_coin, probability};
use dryfit_plugin::session::Bench;

/// From the binomial tables of the trade: 12 of 16 is p = .0384; 5 % is reached by 9 of 10 and 7 of 8 (sums of binomial
/// coefficients over 2^n: 11/1024, 9/256; one fewer is 56/1024 and 37/256).
#[test]
fn the_probability_of_guessing_is_exact() {
    let exactly = |right: usize, trials: usize, wanted: f64| {
        assert!((probability(right, trials) - wanted).abs() < 1e-12, "{right} of {trials}");
    };
    exactly(12, 16, 2517.0 / 65_536.0);
    exactly(9, 10, 11.0 / 1024.0);
    exactly(8, 10, 56.0 / 1024.0);
    exactly(7, 8, 9.0 / 256.0);
    exactly(6, 8, 37.0 / 256.0);
    exactly(0, 16, 1.0);
    exactly(16, 16, 1.0 / 65_536.0);
    assert_eq!(format!("{:.4}", probability(12, 16)), "0.0384");
    assert!(probability(11, 16) > 0.05 && probability(9, 10) < 0.05 && probability(7, 8) < 0.05);
    assert!(probability(6, 8) > 0.05 && probability(8, 10) > 0.05);
}

#[test]
fn nobody_learns_anything_before_the_last_answer() {
    let mut abx = Abx::new(4, Bench::A);
    for (said, next) in [(Bench::A, Bench::B), (Bench::A, Bench::B), (Bench::B, Bench::A)] {
        assert_eq!(abx.outcome(), None);
        abx.answer(said, next);
    }
    assert_eq!((abx.outcome(), abx.answered()), (None, 3));
    abx.answer(Bench::A, Bench::B);
    let outcome = abx.outcome().unwrap();
    assert_eq!((outcome.trials, outcome.right), (4, 3));
    let after = abx.clone();
    abx.answer(Bench::B, Bench::A);
    assert_eq!(abx, after, "answers after the last count nothing");
}

/// 10000 fair coins lie within 5 standard deviations (250) of the half but for one time in a million.
#[test]
fn the_coin_is_fair_and_does_not_repeat_itself() {
    let coins: Vec<Bench> = (0..10_000).map(|_| fair_coin().unwrap()).collect();
    let heads = coins.iter().filter(|&&coin| coin == Bench::A).count();
    let changes = coins.windows(2).filter(|pair| pair[0] != pair[1]).count();
    assert!(heads.abs_diff(5000) < 250, "{heads}");
    assert!(changes.abs_diff(5000) < 250, "{changes}");
}
