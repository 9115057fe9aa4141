//! Notes that have left the pitch at which they were plucked, as a take plays.

use std::sync::Arc;

use crate::following::energies::StringEnergies;
use crate::following::naming::{MOST_PITCHES, NoteEvidence, Tracker};
use crate::following::notes::{Ear, Pluck, Plucks, Search, Voice, Voices};
use crate::following::ring::Ring;
use crate::following::room::Room;
use crate::following::templates::Templates;
use crate::string::Playing;

/// Strings that are bent: templates stand on documented pitches, and would take a bend for the frets it passes. Allocates nothing
/// after [`Bends::new`].
#[derive(Debug, Clone)]
pub(super) struct Bends {
    voices: Arc<Voices>,
    /// Sum of every template's spectrum as voices are drawn.
    sums: Arc<[f32]>,
    search: Search,
    plucks: Plucks,
    known: Room<(NoteEvidence, NoteEvidence)>,
    sounding: Room<Voice>,
    /// What sounded in the hop before.
    before: Room<Voice>,
    bent: Room<Voice>,
}

impl Bends {
    /// From this ratio on, 15 cents, a note is bent: what is less, templates can stand.
    const LEAST: f32 = 1.0087;
    /// No string is bent faster in a hop, 20 cents: what jumps further was misheard.
    const FASTEST: f32 = 1.0116;

    pub(super) fn new(voices: Arc<Voices>, templates: &Templates, frame: usize) -> Self {
        Self {
            sums: voices.sums(templates),
            voices,
            search: Search::new(frame),
            plucks: Plucks::new(),
            known: Room::for_up_to(MOST_PITCHES),
            sounding: Room::for_up_to(Ear::VOICES),
            before: Room::for_up_to(Ear::VOICES),
            bent: Room::for_up_to(Ear::VOICES),
        }
    }

    /// Forgets everything; so many samples were heard.
    pub(super) fn forget(&mut self, heard: usize) {
        self.search.forget(heard);
        self.plucks.forget();
        self.sounding.clear();
        self.bent.clear();
    }

    /// Nothing is heard in a hop.
    pub(super) fn rest(&mut self) {
        self.sounding.clear();
        self.bent.clear();
    }

    /// Looks for beginnings of notes in what came.
    pub(super) fn search(&mut self, ring: &Ring) {
        self.search.hear(ring);
    }

    /// Takes what is heard in a hop.
    pub(super) fn hear(&mut self, tracker: &Tracker, hop: usize, heard: usize) {
        self.plucks.begin(hop, self.search.moment(heard).segment);
        self.known.clear();
        for (frame, note) in tracker.notes().take(MOST_PITCHES) {
            let pluck = Pluck::new(frame, &note);
            self.plucks.hear(hop, pluck, &note);
            self.known.push((note, self.plucks.known(pluck).unwrap_or(note)));
        }
        std::mem::swap(&mut self.before, &mut self.sounding);
        tracker.voices(&self.known, &mut self.sounding);
        self.bent.clear();
        let moved = |voice: &Voice, before: &Voice| (voice.ratio / before.ratio).max(before.ratio / voice.ratio);
        let goes_on = |voice: &Voice| {
            self.before.iter().any(|before| before.note == voice.note && moved(voice, before) < Self::FASTEST)
        };
        let bent = |voice: &&Voice| {
            voice.likely == 1.0 && !(1.0 / Self::LEAST..Self::LEAST).contains(&voice.ratio) && goes_on(voice)
        };
        self.bent.extend(self.sounding.iter().filter(bent));
    }

    /// What is known about the pluck which a note comes from that is heard since that frame.
    pub(super) fn known(&self, frame: u32, note: &NoteEvidence) -> Option<NoteEvidence> {
        self.plucks.known(Pluck::new(frame, note))
    }

    /// The bent note of which a template has a part, if there is one: on its string and near its pitch.
    pub(super) fn of(&self, template: usize) -> Option<&Voice> {
        let note = template / Templates::PER_NOTE;
        self.bent.iter().find(|bent| {
            let heard = (bent.note % Templates::FRETS) as f32 + 12.0 * bent.ratio.log2();
            bent.note / Templates::FRETS == note / Templates::FRETS
                && (heard - (note % Templates::FRETS) as f32).abs() < 1.5
        })
    }

    /// Writes how far strings are stretched, and adds what bent notes hold when activations are these, relative to the loudest.
    pub(super) fn write(&self, activations: &[f32], loudest: f32, playing: &mut Playing) {
        playing.stretch_mut().fill(1.0);
        if self.bent.is_empty() {
            return;
        }
        for bent in self.bent.iter() {
            playing.stretch_mut()[bent.note / Templates::FRETS] = bent.ratio;
        }
        for (template, (&activation, sum)) in activations.iter().zip(&*self.sums).enumerate() {
            if activation > loudest * StringEnergies::NEGLIGIBLE
                && let Some(bent) = self.of(template)
            {
                let mut squares = [0.0; Voices::MANNERS];
                squares[Voices::FITTED + template % Templates::PER_NOTE] = (activation / loudest / sum).powi(2);
                let power = playing.power_mut(bent.note / Templates::FRETS);
                self.voices.add_power(bent.note, bent.ratio, &squares, power);
            }
        }
    }
}
