//! Sets of small numbers that only ever merge.

/// Each set is known by its lowest member.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sets(Vec<usize>);

impl Sets {
    /// From the representative of each member.
    pub fn from_representatives(lowest: Vec<usize>) -> Self {
        Self(lowest)
    }

    pub fn find(&self, mut member: usize) -> usize {
        while self.0[member] != member {
            member = self.0[member];
        }
        member
    }

    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        self.0[a.max(b)] = a.min(b);
    }
}
