//! Threads for work that `dsp` can do in any order.

use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use dryfit_dsp::following::Crew;

/// As many threads as the machine has cores. They are their own: whoever waits here does nothing else meanwhile, so it may be
/// asked under a lock.
#[derive(Debug, Clone, Copy)]
pub struct Threads;

impl Crew for Threads {
    fn all(&self, pieces: usize, work: &(dyn Fn(usize) + Sync)) {
        let next = AtomicUsize::new(0);
        let cores = thread::available_parallelism().map_or(1, NonZero::get);
        thread::scope(|scope| {
            for _ in 0..cores.min(pieces) {
                scope.spawn(|| {
                    while let Some(piece) = Some(next.fetch_add(1, Ordering::Relaxed)).filter(|&piece| piece < pieces) {
                        work(piece);
                    }
                });
            }
        });
    }
}
