//! What does not fit in a session: said, and left out.

mod guitars;
mod positions;
mod tunings;

pub(super) use positions::positions;

use super::listening::HeardNote;
use super::naming::Played;
use super::session::{HeardPass, Session};

/// Something about a pass that does not fit. Passes are counted as in the session, times are in seconds from its start.
#[derive(Debug, Clone, PartialEq)]
pub enum Complaint {
    /// Too few notes to make anything of.
    TooFewNotes {
        /// The pass.
        pass: usize,
        /// Notes that could be used.
        notes: usize,
        /// Its length, in seconds.
        seconds: f64,
    },
    /// Notes that are clipped; they are not used.
    Clipped {
        /// The pass.
        pass: usize,
        /// When they begin.
        at: Vec<f64>,
    },
    /// Notes with other tones beside them; they are not used.
    Crowded {
        /// The pass.
        pass: usize,
        /// When they begin.
        at: Vec<f64>,
    },
    /// The notes are those of another tuning. The pass is left out.
    OtherTuning {
        /// The pass.
        pass: usize,
        /// The one string that is tuned otherwise; none for all of them.
        string: Option<usize>,
        /// By how many semitones.
        semitones: i32,
        /// Notes that the tuning of the document does not explain.
        at: Vec<f64>,
    },
    /// Its strings are not those of the other passes. The pass is left out.
    OtherStrings {
        /// The pass.
        pass: usize,
        /// The strings, with how many times as stiff they are here.
        strings: Vec<(usize, f64)>,
    },
    /// It sounds like another position than the one it is said to be. The pass is left out.
    WrongPosition {
        /// The pass.
        pass: usize,
        /// The position that it sounds like.
        sounds_like: usize,
    },
    /// It sounds like its own position and like another one as well.
    Ambiguous {
        /// The pass.
        pass: usize,
        /// The other position.
        other: usize,
    },
}

impl Complaint {
    /// Whether the whole pass is left out for it.
    pub fn leaves_out(&self, pass: usize) -> bool {
        match self {
            Self::TooFewNotes { pass: own, .. }
            | Self::OtherTuning { pass: own, .. }
            | Self::OtherStrings { pass: own, .. }
            | Self::WrongPosition { pass: own, .. } => *own == pass,
            Self::Clipped { .. } | Self::Crowded { .. } | Self::Ambiguous { .. } => false,
        }
    }
}

/// Fewer notes than this say too little of a pass.
const LEAST_NOTES: usize = 6;

/// What the notes alone tell.
pub(super) fn listened(session: &Session<'_>, passes: &[HeardPass]) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (index, pass) in passes.iter().enumerate() {
        let at = |wanted: &dyn Fn(&HeardNote) -> bool| -> Vec<f64> {
            pass.heard.notes.iter().filter(|note| wanted(note)).map(|note| note.start).collect()
        };
        let clipped = at(&|note| note.clipped);
        if !clipped.is_empty() {
            complaints.push(Complaint::Clipped { pass: index, at: clipped });
        }
        let crowded = at(&|note| note.crowded);
        if !crowded.is_empty() {
            complaints.push(Complaint::Crowded { pass: index, at: crowded });
        }
        let notes = pass.usable().count();
        if notes < LEAST_NOTES && session.passes[index].played == Played::AsAsked {
            complaints.push(Complaint::TooFewNotes { pass: index, notes, seconds: pass.heard.seconds });
        }
        if session.passes[index].played == Played::AsAsked {
            complaints.extend(tunings::other_tuning(session.guitar, index, pass));
        }
    }
    complaints.extend(guitars::other_strings(session.guitar, passes));
    complaints
}
