//! Which pluck a pitch comes from.

use crate::following::naming::NoteEvidence;
use crate::following::room::Room;

/// A pitch from one pluck to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(in crate::following) struct Pluck {
    frame: u32,
    semitone: usize,
}

impl Pluck {
    /// A note that is heard since that frame.
    pub(in crate::following) fn new(frame: u32, note: &NoteEvidence) -> Self {
        Self { frame, semitone: note.semitone }
    }
}

/// The pluck that each pitch comes from: itself, or where it appears a semitone beside another, long after anything was plucked,
/// the strongest other's. So bends and releases stay on the string and the fret on which they began. Allocates nothing after
/// [`Plucks::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Plucks {
    recent: Room<Recent>,
    segment: usize,
    /// When the segment began, in hops.
    began: usize,
}

#[derive(Debug, Clone, Copy)]
struct Recent {
    pluck: Pluck,
    origin: Pluck,
    /// The hops in which it was heard first and last.
    first: usize,
    heard: usize,
    /// What was known then.
    evidence: NoteEvidence,
}

impl Plucks {
    /// Hops after a beginning in which a pitch is taken for one that was plucked, and between two pitches of one string at most.
    const GAP: usize = 8;
    /// Hops by which a frame sees a note before the search is sure that it began.
    const EARLY: usize = 4;
    /// Plucks that are kept in mind: more than can be heard before a pitch is forgotten.
    const KEPT: usize = 48;

    pub(in crate::following) fn new() -> Self {
        Self { recent: Room::for_up_to(Self::KEPT), segment: 0, began: 0 }
    }

    /// Forgets everything.
    pub(in crate::following) fn forget(&mut self) {
        self.recent.clear();
        (self.segment, self.began) = (0, 0);
    }

    /// Another hop, with the segment it is in.
    pub(in crate::following) fn begin(&mut self, hop: usize, segment: usize) {
        if segment != self.segment {
            (self.segment, self.began) = (segment, hop);
            for early in self.recent.iter_mut().filter(|early| early.first + Self::EARLY >= hop) {
                early.origin = early.pluck;
            }
        }
    }

    /// Takes what is heard in a hop; the pluck that it comes from.
    pub(in crate::following) fn hear(&mut self, hop: usize, pluck: Pluck, evidence: &NoteEvidence) -> Pluck {
        if let Some(known) = self.recent.iter_mut().find(|known| known.pluck == pluck) {
            (known.heard, known.evidence) = (hop, *evidence);
            return known.origin;
        }
        // Up to then a frame still sees what sounded before.
        let sure = self.began + Self::GAP;
        let beside = |other: &&Recent| {
            let since = other.heard >= sure && other.heard + Self::GAP >= hop;
            other.pluck.semitone.abs_diff(pluck.semitone) == 1 && since
        };
        let strength = |other: &&Recent| other.evidence.strength;
        let before = self.recent.iter().filter(beside).max_by(|a, b| strength(a).total_cmp(&strength(b)));
        let origin = before.map_or(pluck, |other| other.origin);
        if self.recent.len() == Self::KEPT {
            let oldest = (0..Self::KEPT).min_by_key(|&place| self.recent[place].heard);
            self.recent.swap_remove(oldest.unwrap_or(0));
        }
        self.recent.push(Recent { pluck, origin, first: hop, heard: hop, evidence: *evidence });
        origin
    }

    /// The last that is known about the pluck which one comes from, if it is kept in mind.
    pub(in crate::following) fn known(&self, pluck: Pluck) -> Option<NoteEvidence> {
        let origin = self.recent.iter().find(|known| known.pluck == pluck)?.origin;
        Some(self.recent.iter().find(|known| known.pluck == origin)?.evidence)
    }
}
