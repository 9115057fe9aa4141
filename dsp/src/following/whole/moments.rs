//! Where frames are looked at, with all beginnings of notes known.

use std::ops::Range;

use crate::following::notes::{Moment, beginnings};

/// The moment that tells most about each hop; one per hop, ascending.
pub(super) fn moments(samples: &[f32], frame: usize, hop: usize) -> Vec<Moment> {
    let beginnings = beginnings(samples, frame / 4);
    (0..samples.len() / hop + 2).map(|place| Moment::of(place * hop, &beginnings, 0, frame)).collect()
}

/// Stretches of moments between beginnings, each of so many moments at most: what is found in one does not depend on another.
pub(super) fn parts(moments: &[Moment], longest: usize) -> Vec<Range<usize>> {
    let mut parts = Vec::new();
    let mut from = 0;
    for place in 1..=moments.len() {
        let ends = place == moments.len() || moments[place].segment != moments[from].segment || place - from == longest;
        if ends {
            parts.push(from..place);
            from = place;
        }
    }
    parts
}
