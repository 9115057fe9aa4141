//! Nets: which lugs and leads are on one joint, and which must never be.

/// Most elements (lugs and leads together) that can be searched: one bit each.
pub(super) const MOST: usize = 64;

/// A partition of elements into nets, with pairs of nets that are held apart.
#[derive(Clone, PartialEq, Eq)]
pub(super) struct Nets {
    /// Lowest member of each element's net.
    lowest: [u8; MOST],
    /// By lowest member: the members of the net.
    members: [u64; MOST],
    /// By lowest member: elements that must be in other nets.
    apart: [u64; MOST],
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
        Self { lowest, members, apart: [0; MOST], count }
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

    /// Makes one net of two, if they may be one.
    pub fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.net(a), self.net(b));
        let (low, high) = (a.min(b), a.max(b));
        if low == high {
            return true;
        }
        if self.apart[low] & self.members[high] != 0 {
            return false;
        }
        self.apart[low] |= self.apart[high];
        for element in bits(self.members[high]) {
            self.lowest[element] = low as u8;
        }
        self.members[low] |= self.members[high];
        true
    }

    /// Holds two nets apart from now on.
    pub fn part(&mut self, a: usize, b: usize) {
        let (a, b) = (self.net(a), self.net(b));
        self.apart[a] |= self.members[b];
        self.apart[b] |= self.members[a];
    }

    /// Whether two nets are held apart.
    pub fn parted(&self, a: usize, b: usize) -> bool {
        let (a, b) = (self.net(a), self.net(b));
        self.apart[a] & self.members[b] != 0 || self.apart[b] & self.members[a] != 0
    }

    /// Whether swapping two lists of elements, place by place, changes nothing: the two in a place are on one net, or both
    /// alone and held apart from the same.
    pub fn alike(&self, one: &[usize], other: &[usize]) -> bool {
        one.iter().zip(other).all(|(&a, &b)| {
            let alone = self.alone(a) && self.alone(b) && self.apart[a] == self.apart[b];
            alone || self.net(a) == self.net(b)
        })
    }

    /// Whether nothing is joined to an element.
    pub fn alone(&self, element: usize) -> bool {
        self.members(element).count_ones() == 1
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
