//! Which notes sound at each moment, and what the whole of each says about its string.

use std::collections::HashMap;
use std::sync::Mutex;

use super::moments::parts;
use crate::following::crew::{Crew, results};
use crate::following::frame::Frame;
use crate::following::naming::{NoteEvidence, Patience};
use crate::following::notes::{Ear, Glance, Moment, Pluck, Plucks, Seen, Voice};
use crate::following::prepared::Prepared;
use crate::following::room::Room;
use crate::following::source::Source;
use crate::following::templates::Templates;
use crate::following::window::Window;

const ROUNDS: usize = 6;
/// Moments of a part at most, and parts that are looked at before they are listened to.
const LONGEST: usize = 64;
const BATCH: usize = 8;

/// What sounds at each moment, one list per moment.
pub(super) fn listen(
    source: &Source,
    prepared: &Prepared,
    samples: &[f32],
    moments: &[Moment],
    crew: &dyn Crew,
) -> Vec<Vec<Voice>> {
    let ear = Ear::new(source, prepared, Window::symmetric(2 * prepared.size.frame), Patience::WHOLE);
    let (glance, templates) = (ear.glance().clone(), &prepared.templates);
    let mut listener = Listener { ear, templates, heard: Vec::with_capacity(moments.len()) };
    let parts = parts(moments, LONGEST);
    // What is seen of a take is large, so it is looked at in batches; while one is listened to, which cannot be divided, others look
    // at the next.
    let mut seen = Vec::new();
    for batch in parts.chunks(BATCH).chain([&[][..]]) {
        let listening = Mutex::new(Some((&mut listener, seen)));
        let looked = results(crew, 1 + batch.len(), |piece| match piece.checked_sub(1) {
            Some(part) => see(&mut glance.clone(), templates, samples, &moments[batch[part].clone()]),
            None => {
                let once = listening.lock().ok().and_then(|mut listening| listening.take());
                once.into_iter().for_each(|(listener, seen)| listener.take(seen));
                Vec::new()
            }
        });
        seen = looked.into_iter().flatten().collect();
    }
    let Listener { ear, heard, .. } = listener;
    // The last that is known about a note counts for all of it.
    let notes: HashMap<Pluck, NoteEvidence> = heard.iter().flatten().copied().collect();
    let mut plucks = Plucks::new();
    let mut voices = Room::for_up_to(Ear::VOICES);
    let mut all = Vec::with_capacity(moments.len());
    for (place, sounding) in heard.iter().enumerate() {
        plucks.begin(place, moments[place].segment);
        let known = |(pluck, now): &(Pluck, NoteEvidence)| {
            (*now, notes[pluck].or_of_origin(&notes[&plucks.hear(place, *pluck, now)]))
        };
        let pairs: Vec<_> = sounding.iter().map(known).collect();
        ear.tracker.voices(&pairs, &mut voices);
        all.push(voices.to_vec());
    }
    all
}

/// Somebody who listens to what is seen at moment after moment.
struct Listener<'a> {
    ear: Ear,
    templates: &'a Templates,
    heard: Vec<Vec<(Pluck, NoteEvidence)>>,
}

impl Listener<'_> {
    fn take(&mut self, seen: Vec<Option<Seen>>) {
        for seen in seen {
            let heard = match seen {
                Some(seen) => {
                    self.ear.take(self.templates, &seen);
                    self.ear.heard().collect()
                }
                None => self.heard.last().cloned().unwrap_or_default(),
            };
            self.heard.push(heard);
        }
    }
}

/// What is seen at moments that follow each other; nothing where it is what was seen before.
fn see(glance: &mut Glance, templates: &Templates, samples: &[f32], moments: &[Moment]) -> Vec<Option<Seen>> {
    let [short, long] = glance.lengths();
    let mut before = None;
    let see = |&Moment { middle, .. }: &Moment| {
        if before.replace(middle) == Some(middle) {
            return None;
        }
        let level = glance.look(templates, Frame::around(samples, middle, short));
        glance.begin(templates);
        for _ in 0..ROUNDS {
            glance.round(templates);
        }
        glance.attend(templates, Frame::around(samples, middle, long));
        glance.find_peaks();
        Some(glance.seen(level))
    };
    moments.iter().map(see).collect()
}
