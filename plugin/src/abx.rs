//! Blind comparison: X is A or B, and the listener says which. Plain logic; who draws the coins is the caller's business.

use crate::session::Bench;

/// A comparison that is going on.
///
/// Nothing here tells what X is but [`Abx::x`], which is for the audio side alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Abx {
    x: Bench,
    wanted: usize,
    right: usize,
    answered: usize,
}

/// How a comparison ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Trials answered.
    pub trials: usize,
    /// Trials answered rightly.
    pub right: usize,
    /// Probability of at least so many right answers by guessing.
    pub probability: f64,
}

impl Abx {
    /// Most trials of one comparison: far beyond any ear's patience, and within what [`probability`] computes exactly.
    pub const MOST_TRIALS: usize = 500;

    /// A comparison of so many trials (at least 1, at most [`Abx::MOST_TRIALS`]), whose first X is `x`.
    pub fn new(trials: usize, x: Bench) -> Self {
        Self { x, wanted: trials.clamp(1, Self::MOST_TRIALS), right: 0, answered: 0 }
    }

    /// What X is. Never show it.
    pub fn x(&self) -> Bench {
        self.x
    }

    /// Trials in all.
    pub fn trials(&self) -> usize {
        self.wanted
    }

    /// Trials answered.
    pub fn answered(&self) -> usize {
        self.answered
    }

    /// An answer, after which X is `next`. Answers after the last trial count nothing.
    pub fn answer(&mut self, said: Bench, next: Bench) {
        if self.answered < self.wanted {
            self.right += usize::from(said == self.x);
            self.answered += 1;
            self.x = next;
        }
    }

    /// How it ended; none before the last trial, so that nobody learns meanwhile how well it goes.
    pub fn outcome(&self) -> Option<Outcome> {
        (self.answered == self.wanted).then(|| Outcome {
            trials: self.wanted,
            right: self.right,
            probability: probability(self.right, self.wanted),
        })
    }
}

/// A fair coin from the operating system's entropy.
///
/// # Errors
/// When the system has none to give: then there is no fair comparison.
pub fn fair_coin() -> Result<Bench, getrandom::Error> {
    let mut byte = [0u8];
    getrandom::fill(&mut byte)?;
    Ok(if byte[0] & 1 == 0 { Bench::A } else { Bench::B })
}

/// Probability of at least `right` right answers of `trials` by guessing: the upper tail of the binomial distribution with
/// p = 1/2, sum over k of C(trials, k) / 2^trials. Exact but for rounding up to [`Abx::MOST_TRIALS`].
pub fn probability(right: usize, trials: usize) -> f64 {
    // C(n, k) / 2^n from k = n down: the first is 2^-n, each next times (k + 1) / (n - k).
    let mut term = 0.5f64.powi(i32::try_from(trials).unwrap_or(i32::MAX));
    let mut sum = 0.0;
    for k in (right..=trials).rev() {
        sum += term;
        if k > 0 {
            term *= k as f64 / (trials - k + 1) as f64;
        }
    }
    sum.min(1.0)
}
