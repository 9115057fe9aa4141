//! Which notes sound at each moment, and what the whole of each says about its string.

use std::collections::HashMap;

use crate::following::naming::{NoteEvidence, Patience};
use crate::following::notes::{Ear, Moment, Pluck, Plucks, Voice};
use crate::following::prepared::Prepared;
use crate::following::room::Room;
use crate::following::source::Source;
use crate::following::templates::Templates;
use crate::following::window::Window;

const ROUNDS: usize = 6;

/// What sounds at each moment, one list per moment.
pub(super) fn listen(source: &Source, prepared: &Prepared, samples: &[f32], moments: &[Moment]) -> Vec<Vec<Voice>> {
    let long = Window::symmetric(2 * prepared.size.frame);
    let mut ear = Ear::new(source, prepared, long, Patience::WHOLE);
    let mut heard: Vec<Vec<(Pluck, NoteEvidence)>> = Vec::with_capacity(moments.len());
    for (place, moment) in moments.iter().enumerate() {
        if place > 0 && moments[place - 1].middle == moment.middle {
            heard.push(heard[place - 1].clone());
        } else {
            hear(&mut ear, &prepared.templates, samples, moment.middle);
            heard.push(ear.heard().collect());
        }
    }
    // The last that is known about a note counts for all of it.
    let notes: HashMap<Pluck, NoteEvidence> = heard.iter().flatten().copied().collect();
    let mut plucks = Plucks::new();
    let mut voices = Room::for_up_to(Ear::VOICES);
    let mut all = Vec::with_capacity(moments.len());
    for (place, sounding) in heard.iter().enumerate() {
        plucks.begin(place, moments[place].segment);
        let known = |(pluck, now): &(Pluck, NoteEvidence)| (*now, notes[&plucks.hear(place, *pluck, now)]);
        let pairs: Vec<_> = sounding.iter().map(known).collect();
        ear.tracker.voices(&pairs, &mut voices);
        all.push(voices.to_vec());
    }
    all
}

fn hear(ear: &mut Ear, templates: &Templates, samples: &[f32], middle: usize) {
    let [short, long] = ear.lengths();
    if !ear.look(templates, around(samples, middle, short)) {
        return;
    }
    for _ in 0..ROUNDS {
        ear.round(templates);
    }
    for _ in 0..ear.attend(templates, around(samples, middle, long)) {
        ear.score();
    }
}

/// A frame of samples around a middle; silence where there are none.
pub(super) fn around(samples: &[f32], middle: usize, length: usize) -> impl Iterator<Item = &f32> {
    let half = length / 2;
    let before = std::iter::repeat_n(&0.0, half.saturating_sub(middle));
    let from = middle.saturating_sub(half).min(samples.len());
    before.chain(&samples[from..]).chain(std::iter::repeat(&0.0)).take(length)
}
