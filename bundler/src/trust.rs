//! How far a result can be trusted, in words. Whatever says `exact` or `estimated` to a person says it with these.

use dryfit_dsp::conversion::Assessment;

/// How far the best static filter is off where another pickup sounds than was recorded, on single lines: dB rms over third
/// octaves and moments, the mean over seven changes of pickup. tests/tests/ground_truth.rs measures it and holds this to it.
pub const STATIC_ON_LINES_DB: f64 = 7.0;
/// The same on chords.
pub const STATIC_ON_CHORDS_DB: f64 = 4.5;

/// The sentence for an assessment.
pub fn sentence(assessment: &Assessment) -> String {
    if assessment.silent {
        return "silent: no pickup reaches the jack".into();
    }
    bounded(if assessment.exact { "exact: only the circuit differs".into() } else { estimated() }, assessment)
}

/// The sentence where every pickup that sounds has a take of its own.
pub fn with_a_take_each(assessment: &Assessment) -> String {
    if assessment.silent {
        return sentence(assessment);
    }
    bounded("exact: every pickup that sounds has a take of its own".into(), assessment)
}

fn bounded(mut text: String, assessment: &Assessment) -> String {
    if assessment.held_back_db > 0.1 {
        text += &format!(
            "; boost held back by up to {:.1} dB near {:.0} Hz: the take holds too little there",
            assessment.held_back_db, assessment.held_back_hertz
        );
    }
    text
}

fn estimated() -> String {
    format!(
        "estimated: other pickups sound than were recorded; third octaves are typically {STATIC_ON_LINES_DB} dB off on \
         single lines, {STATIC_ON_CHORDS_DB} dB on chords"
    )
}
