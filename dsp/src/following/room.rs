//! Lists that keep their room.

use std::ops::{Deref, DerefMut};

/// A vector of which a clone has as much room as the original: the audio thread fills it without allocating. A vector's own clone
/// has room for what is in it, which before the first sample is nothing.
#[derive(Debug)]
pub(super) struct Room<T>(Vec<T>);

impl<T> Room<T> {
    /// Empty, with room for so many.
    pub(super) fn for_up_to(most: usize) -> Self {
        Self(Vec::with_capacity(most))
    }
}

impl<T: Clone> Clone for Room<T> {
    fn clone(&self) -> Self {
        let mut room = Self::for_up_to(self.capacity());
        room.extend_from_slice(self);
        room
    }
}

impl<T> Deref for Room<T> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.0
    }
}

impl<T> DerefMut for Room<T> {
    fn deref_mut(&mut self) -> &mut Vec<T> {
        &mut self.0
    }
}
