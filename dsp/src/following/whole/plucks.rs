//! Which pluck a pitch comes from.

use std::collections::HashMap;

use super::moments::Moment;
use crate::following::naming::NoteEvidence;

/// A pitch from one pluck to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Pluck {
    frame: u32,
    semitone: usize,
}

impl Pluck {
    /// A note that is heard since that frame.
    pub(super) fn new(frame: u32, note: &NoteEvidence) -> Self {
        Self { frame, semitone: note.semitone }
    }
}

/// The pluck that each pitch comes from: itself, or where it appears a semitone beside another that ends, long after anything
/// was plucked, that other's. So bends and releases stay on the string and the fret on which they began.
pub(super) fn plucks(heard: &[Vec<(Pluck, NoteEvidence)>], moments: &[Moment]) -> HashMap<Pluck, Pluck> {
    let mut plucks: HashMap<Pluck, Pluck> = HashMap::new();
    // When each was heard last since something was plucked.
    let mut last: HashMap<Pluck, usize> = HashMap::new();
    let mut began = 0;
    for (place, notes) in heard.iter().enumerate() {
        if place > 0 && moments[place].segment != moments[place - 1].segment {
            began = place;
            last.clear();
        }
        for (pluck, _) in notes {
            if !plucks.contains_key(pluck) {
                let beside = |(other, seen): &(&Pluck, &usize)| {
                    other.semitone.abs_diff(pluck.semitone) == 1 && *seen + GAP >= place
                };
                let before = last.iter().filter(beside).max_by_key(|(other, seen)| (**seen, other.frame));
                let plucked = before.filter(|_| place >= began + GAP).map_or(*pluck, |(other, _)| plucks[other]);
                plucks.insert(*pluck, plucked);
            }
            last.insert(*pluck, place);
        }
    }
    plucks
}

/// Hops after a beginning in which a pitch is taken for one that was plucked, and between two pitches of one string at most.
const GAP: usize = 8;
