//! Over to the audio thread and back, without a lock.

use crossbeam_utils::atomic::AtomicCell;

use super::followed::{Followers, Sounding};
use super::option_target::OptionTarget;

/// What the engine is to sound from now on; after the exchange, what it sounded before.
#[derive(Debug)]
pub struct Targets {
    /// Which edit they were compiled from.
    pub generation: u64,
    /// Sample rate they were compiled for, in hertz.
    pub sample_rate: f64,
    /// Bench A and bench B; none while one of them is in the engine.
    pub benches: [Option<OptionTarget>; 2],
    /// What follows the notes.
    pub followers: Followers,
    /// Others that wait to be dropped with these.
    spent: Option<Box<Targets>>,
}

/// One slot each way. Whoever compiles publishes the newest targets; the audio thread takes them, and gives back what is
/// spent, which the next publisher drops. Neither ever waits for the other, and the audio thread drops nothing.
#[derive(Default)]
pub struct Handover {
    fresh: AtomicCell<Option<Box<Targets>>>,
    spent: AtomicCell<Option<Box<Targets>>>,
}

impl Targets {
    /// Targets of both benches and their followers.
    pub fn new(generation: u64, sample_rate: f64, sounding: Sounding) -> Box<Self> {
        let Sounding { benches, followers } = sounding;
        Box::new(Self { generation, sample_rate, benches: benches.map(Some), followers, spent: None })
    }
}

impl Handover {
    /// Puts targets in place of those that nobody took, and drops what is spent. Not for the audio thread.
    pub fn publish(&self, targets: Box<Targets>) {
        drop(self.fresh.swap(Some(targets)));
        self.clear();
    }

    /// Drops what is spent. Not for the audio thread.
    pub fn clear(&self) {
        drop(self.spent.take());
    }

    /// The newest targets, if there are any that were not taken. For the audio thread.
    pub fn take(&self) -> Option<Box<Targets>> {
        self.fresh.take()
    }

    /// Gives spent targets back. For the audio thread, the only one that does so: what was given back before and not yet
    /// dropped is hung behind, so that nothing is dropped here.
    pub fn give_back(&self, mut targets: Box<Targets>) {
        let last = {
            let mut last = &mut targets;
            while last.spent.is_some() {
                last = last.spent.as_mut().expect("it was there a line before");
            }
            last
        };
        last.spent = self.spent.take();
        self.spent.store(Some(targets));
    }
}

impl std::fmt::Debug for Handover {
    /// The slots cannot be looked into without emptying them.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Handover").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Else the standard library's or the crate's spin lock would stand in, and the audio thread could wait.
    #[test]
    fn the_slots_are_free_of_locks() {
        assert!(AtomicCell::<Option<Box<Targets>>>::is_lock_free());
    }
}
