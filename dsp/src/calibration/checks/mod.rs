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
        /// What it holds.
        played: Played,
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
    /// Too many of its notes are none that the guitar can play. The pass is left out.
    OtherGuitar {
        /// The pass.
        pass: usize,
        /// When they begin.
        at: Vec<f64>,
        /// Of so many notes that are clear.
        clear: usize,
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
            | Self::OtherGuitar { pass: own, .. }
            | Self::OtherStrings { pass: own, .. }
            | Self::WrongPosition { pass: own, .. } => *own == pass,
            Self::Clipped { .. } | Self::Crowded { .. } | Self::Ambiguous { .. } => false,
        }
    }
}

/// Fewer notes than this say too little of a pass, and of all that was played freely.
const LEAST_NOTES: usize = 6;
const LEAST_NOTES_FREELY: usize = 10;

/// What the notes alone tell.
pub(super) fn listened(session: &Session<'_>, passes: &[HeardPass]) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    let is_free = |index: usize| session.passes[index].played == Played::Freely;
    let usable = passes.iter().map(|pass| pass.usable().count()).enumerate();
    let freely: usize = usable.filter(|(index, _)| is_free(*index)).map(|(_, notes)| notes).sum();
    for (index, pass) in passes.iter().enumerate() {
        let at = |wanted: &dyn Fn(&HeardNote) -> bool| -> Vec<f64> {
            pass.heard.notes.iter().filter(|note| wanted(note)).map(|note| note.start).collect()
        };
        let clipped = at(&|note| note.clipped);
        if !clipped.is_empty() {
            complaints.push(Complaint::Clipped { pass: index, at: clipped });
        }
        let crowded = at(&|note| note.crowded);
        // In music it is no mistake.
        if !crowded.is_empty() && !is_free(index) {
            complaints.push(Complaint::Crowded { pass: index, at: crowded });
        }
        let notes = pass.usable().count();
        // What is played freely need not have a single note, so long as there are enough in all of it.
        let (enough, least) = if is_free(index) { (freely, LEAST_NOTES_FREELY) } else { (notes, LEAST_NOTES) };
        if enough < least {
            let (seconds, played) = (pass.heard.seconds, session.passes[index].played);
            complaints.push(Complaint::TooFewNotes { pass: index, notes, seconds, played });
        }
        complaints.extend(match is_free(index) {
            true => guitars::other_guitar(index, pass),
            false => tunings::other_tuning(session.guitar, index, pass),
        });
    }
    complaints.extend(guitars::other_strings(session.guitar, passes));
    complaints
}
