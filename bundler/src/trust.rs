//! How far a result can be trusted, in words. Whatever says `exact` or `estimated` to a person says it with these.

use dryfit_dsp::conversion::{Assessment, Off};

use crate::arguments::Follow;

/// The figure for a way of following.
pub fn off(follow: Follow) -> Off {
    match follow {
        Follow::Off => Off::STATIC,
        Follow::Live => Off::LIVE,
        Follow::Ahead => Off::AHEAD,
        Follow::Whole => Off::WHOLE,
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
        Follow::Ahead => ", notes followed as it plays, looking ahead",
        Follow::Whole => ", notes followed through the whole take",
    };
    format!(
        "estimated{when}: other pickups sound than were recorded; third octaves are typically {lines_db} dB off on single \
         lines, {chords_db} dB on chords"
    )
}
