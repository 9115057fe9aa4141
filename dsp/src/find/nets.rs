//! Nets: which lugs and leads are on one joint.

/// Most elements (lugs and leads together) that can be searched: one bit each.
pub(super) const MOST: usize = 64;

/// A partition of elements into nets.
#[derive(Clone, PartialEq, Eq)]
pub(super) struct Nets {
    /// Lowest member of each element's net.
    lowest: [u8; MOST],
    /// By lowest member: the members of the net.
    members: [u64; MOST],
    count: usize,
}

impl Nets {
    /// Every element alone.
    pub fn new(count: usize) -> Self {
        let (mut lowest, mut members) = ([0; MOST], [0; MOST]);
        for element in 0..count {
            lowest[element] = element as u8;
            members[element] = 1 << element;
        }
        Self { lowest, members, count }
    }

    /// The lowest element of the net that this one is in.
    pub fn net(&self, element: usize) -> usize {
        usize::from(self.lowest[element])
    }

    /// The members of this element's net.
    pub fn members(&self, element: usize) -> u64 {
        self.members[self.net(element)]
    }

    /// Every net, as its members.
    pub fn all(&self) -> impl Iterator<Item = u64> {
        (0..self.count).filter(|&element| self.net(element) == element).map(|element| self.members[element])
    }

    /// Makes one net of two.
    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.net(a), self.net(b));
        let (low, high) = (a.min(b), a.max(b));
        if low == high {
            return;
        }
        for element in bits(self.members[high]) {
            self.lowest[element] = low as u8;
        }
        self.members[low] |= self.members[high];
    }
}

/// The elements of a set, ascending.
pub(super) fn bits(mut set: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        if set == 0 {
            return None;
        }
        let lowest = set.trailing_zeros() as usize;
        set &= set - 1;
        Some(lowest)
    })
}

/// Merges sets that share a member until none do.
pub(super) fn merge_overlapping(sets: &mut Vec<u64>) {
    let mut i = 0;
    while i < sets.len() {
        let mut j = i + 1;
        let mut grown = false;
        while j < sets.len() {
            if sets[i] & sets[j] != 0 {
                sets[i] |= sets.swap_remove(j);
                grown = true;
            } else {
                j += 1;
            }
        }
        // What was passed over may overlap with what was gained.
        if !grown {
            i += 1;
        }
    }
}
