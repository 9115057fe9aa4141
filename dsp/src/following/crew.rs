//! Who does work that can be done in any order.

use std::sync::OnceLock;

/// Does pieces of work that do not depend on each other. Nothing here starts threads: whoever has some lends them, and what is
/// found is the same.
pub trait Crew: Sync {
    /// Does `work` once for each number below `pieces`, in any order, and returns when all is done.
    fn all(&self, pieces: usize, work: &(dyn Fn(usize) + Sync));
}

/// One piece after the other, on the thread that asks.
#[derive(Debug, Clone, Copy)]
pub struct Alone;

impl Crew for Alone {
    fn all(&self, pieces: usize, work: &(dyn Fn(usize) + Sync)) {
        (0..pieces).for_each(work);
    }
}

/// What comes of each piece, in their order.
pub(super) fn results<T: Send + Sync>(crew: &dyn Crew, pieces: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let results: Vec<OnceLock<T>> = (0..pieces).map(|_| OnceLock::new()).collect();
    crew.all(pieces, &|piece| {
        results[piece].get_or_init(|| work(piece));
    });
    let result = |result: OnceLock<T>| result.into_inner().expect("a crew does every piece");
    results.into_iter().map(result).collect()
}
