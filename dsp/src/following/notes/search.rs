//! Where notes begin, as far as the take came.

use super::beginnings::{Beginnings, Moment};
use crate::following::ring::Ring;
use crate::following::room::Room;

/// Looks for beginnings of notes while the take comes. Allocates nothing after [`Search::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Search {
    beginnings: Beginnings,
    frame: usize,
    /// The frame of the search that comes next, and the one it began with; both count from the beginning of the take.
    next: usize,
    first: usize,
    /// The last beginnings, in samples, and how many came before them.
    recent: Room<usize>,
    passed: usize,
}

impl Search {
    /// Beginnings that are kept in mind.
    const KEPT: usize = 8;

    /// For frames of the analysis of that length; looks so many of its hops beyond a rise.
    pub(in crate::following) fn new(frame: usize, patience: usize) -> Self {
        let beginnings = Beginnings::new(frame, patience);
        Self { beginnings, frame, next: 0, first: 0, recent: Room::for_up_to(Self::KEPT), passed: 0 }
    }

    /// Takes all that came.
    pub(in crate::following) fn hear(&mut self, ring: &Ring) {
        let (length, hop) = (self.beginnings.length(), self.beginnings.hop());
        while self.next * hop + length / 2 <= ring.heard() {
            let found = self.beginnings.hear(ring.around(self.next * hop, length));
            self.next += 1;
            if let Some(place) = found {
                if self.recent.len() == Self::KEPT {
                    self.recent.remove(0);
                    self.passed += 1;
                }
                self.recent.push((self.first + place) * hop);
            }
        }
    }

    /// The moment that tells most about a place, in samples, of all that end with what came half a frame after it.
    pub(in crate::following) fn moment(&self, place: usize) -> Moment {
        let moment = Moment::of(place, &self.recent, self.passed, self.frame);
        Moment { middle: moment.middle.min(place), ..moment }
    }

    /// The newest beginning, in samples.
    pub(in crate::following) fn newest(&self) -> Option<usize> {
        self.recent.last().copied()
    }

    /// Forgets everything, and begins anew after so many samples.
    pub(in crate::following) fn forget(&mut self, heard: usize) {
        self.beginnings.forget();
        self.recent.clear();
        self.passed = 0;
        self.next = heard.div_ceil(self.beginnings.hop());
        self.first = self.next;
    }
}
