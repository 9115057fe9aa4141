//! From what the ear heard to what is shown.

use super::{Ahead, Stage};
use crate::following::notes::{Fitting, Pluck, Sounding, Voice, Voices, approach};
use crate::following::templates::Templates;

impl Ahead {
    /// Keeps what the ear heard in a hop, and names it for those who ask what is heard.
    pub(super) fn keep(&mut self, templates: &Templates, place: usize) {
        self.plucks.begin(place, self.search.moment(place * self.prepared.size.hop).segment);
        let heard = &mut self.heard[place % Self::KEPT];
        heard.clear();
        heard.extend(self.ear.heard());
        for (pluck, note) in heard.iter() {
            self.plucks.hear(place, *pluck, note);
        }
        let plucks = &self.plucks;
        self.ear.tracker.name(templates, |frame, note| plucks.known(Pluck::new(frame, note)));
    }

    /// Takes the frame that is fitted for a hop; none where that is the one before.
    pub(super) fn prepare(&mut self, templates: &Templates, place: usize) -> Stage {
        let size = self.prepared.size;
        let moment = self.search.moment(place * size.hop);
        let before = self.moment.replace(moment);
        if before == Some(moment) {
            return Stage::Finish;
        }
        if before.is_none_or(|before| before.segment != moment.segment) {
            // Smoothing begins with what comes.
            self.smoothed.fill(f32::NAN);
        }
        self.look.at(self.ring.around(moment.middle, size.frame));
        self.level = self.look.weigh(templates, &mut self.weighted);
        let heard = (moment.middle + size.hop / 2) / size.hop;
        self.known.clear();
        for (pluck, now) in self.heard[heard % Self::KEPT].iter() {
            self.known.push((*now, self.plucks.known(*pluck).unwrap_or(*now)));
        }
        self.ear.tracker.voices(&self.known, &mut self.voices);
        self.fitting.clear();
        Stage::Draw { place: 0 }
    }

    /// Draws two of the notes that are fitted; the next from a place on.
    pub(super) fn draw(&mut self, templates: &Templates, place: usize) -> Stage {
        let next = (place + Self::DRAWN).min(self.voices.len());
        (place..next).for_each(|place| self.fitting.draw(templates, &self.voices, place));
        if next < self.voices.len().min(Fitting::MOST) {
            return Stage::Draw { place: next };
        }
        self.fitting.complete(templates, &self.weighted);
        Stage::Fit { left: Self::FITS }
    }

    /// Takes over what was fitted.
    pub(super) fn finish(&mut self) {
        self.amplitudes.fill(0.0);
        for (sound, amplitude) in self.fitting.amplitudes() {
            self.amplitudes[sound.note * Voices::MANNERS + sound.manner] = amplitude * self.level;
        }
        for (smoothed, &amplitude) in self.smoothed.iter_mut().zip(&self.amplitudes) {
            match smoothed.is_nan() {
                true => *smoothed = amplitude,
                false => approach(smoothed, amplitude),
            }
        }
        let ratio =
            |note| self.voices.iter().find(|voice: &&Voice| voice.note == note).map_or(1.0, |voice| voice.ratio);
        self.next.clear();
        self.next.extend(Sounding::all(&self.smoothed, ratio));
    }
}
