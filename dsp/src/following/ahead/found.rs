//! From what the ear heard to what is shown.

use super::Ahead;
use crate::following::notes::{Fitting, Moment, Pluck, Sounding, approach};
use crate::following::templates::Templates;

impl Ahead {
    /// Keeps what the ear heard in a hop, and names it for those who ask what is heard.
    pub(super) fn keep(&mut self, templates: &Templates, place: usize) {
        self.plucks.begin(place, self.search.moment(place * self.prepared.size.hop).segment);
        self.activations[place % Self::KEPT].copy_from_slice(self.ear.activations());
        let heard = &mut self.heard[place % Self::KEPT];
        heard.clear();
        heard.extend(self.ear.heard());
        for (pluck, note) in heard.iter() {
            self.plucks.hear(place, *pluck, note);
        }
        let plucks = &self.plucks;
        self.ear.tracker.name(templates, |frame, note| plucks.known(Pluck::new(frame, note)));
    }

    /// Takes the frame that is fitted for a hop; not where that is the one before.
    pub(super) fn prepare(&mut self, templates: &Templates, place: usize) -> bool {
        let size = self.prepared.size;
        let moment = self.search.moment(place * size.hop);
        let before = self.moment.replace(moment);
        if before == Some(moment) {
            return false;
        }
        if before.is_none_or(|before| before.segment != moment.segment) {
            // Smoothing begins with what comes.
            self.smoothed.fill(f32::NAN);
        }
        if moment.middle == place * size.hop {
            // The ear looked there.
            let (weighted, level) = self.ear.weighted();
            self.weighted.copy_from_slice(weighted);
            self.level = level;
        } else {
            self.look.at(self.ring.around(moment.middle, size.frame));
            self.level = self.look.weigh(templates, &mut self.weighted);
        }
        self.known.clear();
        for (pluck, now) in self.heard[self.nearest(moment)].iter() {
            self.known.push((*now, self.plucks.known(*pluck).unwrap_or(*now)));
        }
        self.ear.tracker.voices(&self.known, &mut self.voices);
        true
    }

    /// Draws the notes that are fitted.
    pub(super) fn draw(&mut self, templates: &Templates) {
        let heard = self.moment.map_or(0, |moment| self.nearest(moment));
        let tried = Fitting::worth_trying(&self.activations[heard], Self::SILENT);
        self.fitting.begin(templates, &self.voices, &self.weighted, tried);
    }

    /// Where it is kept what was heard in the hop nearest to a moment.
    fn nearest(&self, moment: Moment) -> usize {
        let hop = self.prepared.size.hop;
        (moment.middle + hop / 2) / hop % Self::KEPT
    }

    /// Takes over what was fitted.
    pub(super) fn finish(&mut self, templates: &Templates) {
        self.noise.hear(self.fitting.noise(templates), self.level);
        self.fitting.write_amplitudes(templates, self.level, &mut self.amplitudes);
        for (smoothed, &amplitude) in self.smoothed.iter_mut().zip(&self.amplitudes) {
            match smoothed.is_nan() {
                true => *smoothed = amplitude,
                false => approach(smoothed, amplitude),
            }
        }
        self.next.clear();
        self.next.extend(Sounding::all(&self.smoothed, &self.voices));
    }
}
