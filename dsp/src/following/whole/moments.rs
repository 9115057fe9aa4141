//! Where frames are looked at, with all beginnings of notes known.

use std::ops::Range;

use crate::following::notes::{Beginnings, Moment};

/// The moment that tells most about each hop; one per hop, ascending.
pub(super) fn moments(samples: &[f32], frame: usize, hop: usize) -> Vec<Moment> {
    let beginnings = beginnings(samples, frame);
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

/// Where notes begin, in samples.
fn beginnings(samples: &[f32], frame: usize) -> Vec<usize> {
    let mut beginnings = Beginnings::new(frame, Beginnings::NEAR);
    let (length, hop) = (beginnings.length(), beginnings.hop());
    let silence = vec![0.0; length];
    let around = |place: usize| silence[length / 2..].iter().chain(samples).chain(&silence).skip(place * hop);
    let places = 0..samples.len() / hop + 1;
    places.clone().for_each(|place| beginnings.expect(around(place)));
    let beyond = std::iter::repeat_n(&0.0, length);
    let found = places.clone().filter_map(|place| beginnings.hear(around(place))).collect::<Vec<_>>();
    let last = (0..Beginnings::NEAR).filter_map(|_| beginnings.hear(beyond.clone()));
    found.into_iter().chain(last).map(|place| place * hop).collect()
}
