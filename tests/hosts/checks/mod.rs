//! The checks, by subject.

mod automation;
mod bad_input;
mod description;
mod instances;
mod latency;
mod sound;
mod state;
mod trade;

use super::Check;

/// Every check.
pub fn all() -> Vec<Check> {
    [
        description::CHECKS,
        state::CHECKS,
        sound::CHECKS,
        automation::CHECKS,
        bad_input::CHECKS,
        instances::CHECKS,
        latency::CHECKS,
        trade::CHECKS,
    ]
    .into_iter()
    .flat_map(|checks| checks.iter().map(|check| Check { ..*check }))
    .collect()
}

/// A sample rate, in hertz, where none is the subject.
const RATE: f64 = 48_000.0;
