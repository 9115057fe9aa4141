//! What the page says about a sound.

use dryfit_dsp::circuit::standing;
use dryfit_dsp::conversion::{Assessment, Controls};

use super::plan::Planned;
use crate::arguments::Follow;
use crate::trust;

/// What is on where the controls stand. `read` is what the circuit gives with the knobs on 10, where series is told from parallel.
pub(super) fn heard(option: &Planned, controls: &Controls, read: Option<&str>) -> String {
    let on = standing::pickups_on(&option.stand.assembly, controls);
    // What a blend adds is on at less than 10 only.
    match read.filter(|read| on.iter().all(|pickup| read.contains(pickup))) {
        Some(read) => read.into(),
        None if on.is_empty() => "silent".into(),
        None => on.join(" + "),
    }
}

/// How far a sound can be trusted: a word, and a sentence for somebody who has never heard of it.
pub(super) fn trusted(assessment: &Assessment, follow: Follow) -> (&'static str, String) {
    let off = trust::off(follow);
    if assessment.silent {
        return ("silent", "Silent: no pickup reaches the jack here.".into());
    }
    let (word, mut sentence) = match assessment.exact {
        true => (
            "exact",
            "Exact: the same pickup sounds as in the recording, and only the circuit behind it differs. This is what the \
             guitar will give, as far as its parts have their values."
                .to_string(),
        ),
        false => (
            "estimated",
            format!(
                "Estimated: other pickups sound than were recorded, and what they would have picked up is worked out. The \
                 balance of bass and treble is right on average; single notes may differ, typically by {} dB in a third \
                 of an octave on single lines and {} dB on chords.",
                off.lines_db, off.chords_db
            ),
        ),
    };
    if assessment.held_back_db > 0.1 {
        sentence += &format!(
            " The recording holds too little near {:.0} Hz to be lifted fully: {:.1} dB are missing there.",
            assessment.held_back_hertz, assessment.held_back_db
        );
    }
    (word, sentence)
}
