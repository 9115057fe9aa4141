//! A limit to how far a conversion may lift what the take hardly holds.

use std::f64::consts::LN_10;

/// No frequency is lifted by more than this, in dB.
pub const BOOST_LIMIT_DB: f64 = 24.0;
/// Below this, in dB, nothing is touched.
const KNEE_DB: f64 = 18.0;
/// ln of the amplitude ratio that 1 dB is.
const NEPER_PER_DB: f64 = LN_10 / 20.0;

/// Bends a gain, as ln|G|, towards [`BOOST_LIMIT_DB`]: unchanged up to 18 dB, then knee + (limit - knee) tanh(..), whose
/// slope is 1 at the knee, so that no corner is heard.
pub fn limit_boost(log_gain: f64) -> f64 {
    let knee = KNEE_DB * NEPER_PER_DB;
    let room = (BOOST_LIMIT_DB - KNEE_DB) * NEPER_PER_DB;
    if log_gain <= knee { log_gain } else { knee + room * ((log_gain - knee) / room).tanh() }
}
