//! How far a result can be trusted, in words. Whatever says `exact` or `estimated` to a person says it with these.

use dryfit_dsp::conversion::Assessment;

use crate::arguments::Follow;

/// How far a conversion is off where another pickup sounds than was recorded, in dB rms over third octaves and moments: the
/// mean over seven changes of pickup. tests/tests/ground_truth.rs measures it and holds these to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// On single lines.
    pub lines_db: f64,
    /// On chords.
    pub chords_db: f64,
}

/// The best static filter.
pub const STATIC: Off = Off { lines_db: 7.0, chords_db: 4.5 };
/// Notes followed as the take plays.
pub const LIVE: Off = Off { lines_db: 3.0, chords_db: 3.0 };
/// Notes followed with the whole take known.
pub const WHOLE: Off = Off { lines_db: 3.0, chords_db: 3.0 };

/// The figure for a way of following.
pub fn off(follow: Follow) -> Off {
    match follow {
        Follow::Off => STATIC,
        Follow::Live => LIVE,
        Follow::Whole => WHOLE,
    }
}

/// The sentence for an assessment, when notes are followed in this way.
pub fn sentence(assessment: &Assessment, follow: Follow) -> String {
    if assessment.silent {
        return "silent: no pickup reaches the jack".into();
    }
    bounded(if assessment.exact { "exact: only the circuit differs".into() } else { estimated(follow) }, assessment)
}

/// The sentence where every pickup that sounds has a take of its own.
pub fn with_a_take_each(assessment: &Assessment) -> String {
    if assessment.silent {
        return sentence(assessment, Follow::Off);
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

fn estimated(follow: Follow) -> String {
    let Off { lines_db, chords_db } = off(follow);
    let when = match follow {
        Follow::Off => "",
        Follow::Live => ", notes followed as it plays",
        Follow::Whole => ", notes followed through the whole take",
    };
    format!(
        "estimated{when}: other pickups sound than were recorded; third octaves are typically {lines_db} dB off on single \
         lines, {chords_db} dB on chords"
    )
}
