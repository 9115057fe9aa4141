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

/// The pluck that each pitch comes from: itself, or where it appears within a tone of others, long after anything was plucked, that
/// of them about which most is known. So bends and releases stay on the string and the fret on which they began. Allocates
/// nothing after [`Plucks::new`].
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
    /// Semitones from one pitch of a string to the next at most: a bend may be over before a frame shows what lies between.
    const BESIDE: usize = 2;
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
        let place = self.recent.iter().position(|known| known.pluck == pluck).unwrap_or_else(|| {
            let new = Recent { pluck, origin: pluck, first: hop, heard: hop, evidence: *evidence };
            self.add(new)
        });
        let own = &mut self.recent[place];
        (own.heard, own.evidence) = (hop, *evidence);
        if own.origin == pluck {
            self.recent[place].origin = self.origin(hop, &self.recent[place]);
        }
        self.recent[place].origin
    }

    /// Where what is heard in a hop may come from.
    fn origin(&self, hop: usize, of: &Recent) -> Pluck {
        // Up to then a frame still sees what sounded before.
        let sure = self.began + Self::GAP;
        let beside = |other: &&Recent| {
            let since =
                other.first < of.first && of.first.min(other.heard) >= sure && other.heard + Self::GAP >= of.first;
            let is_near = match other.pluck.semitone.abs_diff(of.pluck.semitone) {
                // What is known about a note that swells is known anew, unless it is a bent string.
                0 => of.first == hop && other.origin != other.pluck,
                1 => of.first == hop,
                // Strings may sound a tone apart, but what is bent leaves nothing where it was.
                Self::BESIDE => other.heard + 1 < hop && of.evidence.strength >= other.evidence.strength,
                _ => false,
            };
            since && is_near
        };
        // What lies between may be heard for a frame only: it is its origin that has to be known.
        let origins = self.recent.iter().filter(beside).filter_map(|other| self.find(other.origin));
        let best = origins
            .filter(|origin| !origin.evidence.ghost)
            .max_by(|a, b| a.evidence.best().total_cmp(&b.evidence.best()));
        best.map_or(of.pluck, |origin| origin.pluck)
    }

    /// Keeps another pluck in mind, in place of the one that was not heard for longest where there are too many; its place.
    fn add(&mut self, new: Recent) -> usize {
        if self.recent.len() == Self::KEPT {
            let oldest = (0..Self::KEPT).min_by_key(|&place| self.recent[place].heard);
            self.recent.swap_remove(oldest.unwrap_or(0));
        }
        self.recent.push(new);
        self.recent.len() - 1
    }

    /// The last that is known about the pluck which one comes from, if it is kept in mind.
    pub(in crate::following) fn known(&self, pluck: Pluck) -> Option<NoteEvidence> {
        let own = self.find(pluck)?;
        Some(own.evidence.or_of_origin(&self.find(own.origin)?.evidence))
    }

    fn find(&self, pluck: Pluck) -> Option<&Recent> {
        self.recent.iter().find(|known| known.pluck == pluck)
    }
}
