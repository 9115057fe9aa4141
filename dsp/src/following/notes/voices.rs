//! Notes at the pitch at which they are heard.

use std::f64::consts::PI;
use std::ops::Range;
use std::sync::Arc;

use wide::f32x8;

use crate::following::lattice::Lattice;
use crate::following::room::Room;
use crate::following::source::Source;
use crate::following::templates::{Templates, decay, pluck};
use crate::following::window::Window;
use crate::lanes::lanes;
use crate::string::StiffString;

/// A note that is heard: a string at a fret, at a pitch.
#[derive(Debug, Clone, Copy)]
pub(in crate::following) struct Voice {
    /// The note, as [`Templates`] counts them.
    pub(in crate::following) note: usize,
    /// Its pitch over the documented one.
    pub(in crate::following) ratio: f32,
    /// How likely it is this string, relative to the likeliest.
    pub(in crate::following) likely: f32,
}

/// Partials of every note in several manners of plucking, drawn where they are heard. Templates stand on documented pitches;
/// a partial that lies half a bin beside them is taken for something else, or for another string.
#[derive(Debug, Clone)]
pub(in crate::following) struct Voices {
    notes: Vec<Partials>,
    /// Under which powers are drawn.
    window: Arc<Window>,
    spacing: f32,
}

/// A partial where it is heard: what it adds to eight bins, the first of them with its number.
#[derive(Debug, Clone, Copy)]
pub(in crate::following) struct Tooth {
    first: usize,
    pub(super) lobe: f32x8,
}

impl Tooth {
    /// The bins.
    pub(in crate::following) fn bins(&self) -> Range<usize> {
        self.first..self.first + Window::TOOTH
    }
}

#[derive(Debug, Clone)]
struct Partials {
    /// The string at its fret.
    string: StiffString,
    /// Power of each partial on the string, and its amplitude at the jack, in every manner.
    power: Vec<f32x8>,
    sensed: Vec<f32x8>,
}

impl Voices {
    /// Where a string is plucked, in metres from the bridge, and how long it has rung, in seconds. The spread of the study
    /// (place/goff.py), and the two manners of [`Templates`].
    const PLUCKED: [(f64, f64); Self::MANNERS] =
        [(0.09, 0.05), (0.09, 0.5), (0.13, 0.05), (0.13, 0.5), (0.18, 0.05), (0.18, 0.5), (0.10, 0.15), (0.16, 0.15)];
    /// Manners of plucking, as many as the processor takes at once.
    pub(in crate::following) const MANNERS: usize = Self::FITTED + Templates::PER_NOTE;
    /// So many of them are tried on a note whose pitch is known; the others are those of the templates.
    pub(in crate::following) const FITTED: usize = 6;

    pub(in crate::following) fn new(source: &Source, lattice: &Lattice, window: &Arc<Window>) -> Self {
        let notes = 0..source.strings.len() * Templates::FRETS;
        Self {
            notes: notes.map(|note| Partials::new(source, lattice, note)).collect(),
            window: window.clone(),
            spacing: lattice.spacing() as f32,
        }
    }

    /// Partials that a note has at most.
    pub(in crate::following) fn most_partials(&self) -> usize {
        self.notes.iter().map(|partials| partials.sensed.len()).max().unwrap_or(0)
    }

    /// Adds the partials at the jack, weighted and windowed as templates are, of a note that sounds `ratio` above what is documented,
    /// and gives the sum of their spectrum in every manner: [`Voices::sensed`] says what each of them is in it.
    pub(in crate::following) fn draw(
        &self,
        templates: &Templates,
        note: usize,
        ratio: f32,
        teeth: &mut Room<Tooth>,
    ) -> f32x8 {
        let partials = &self.notes[note];
        let mut sums = f32x8::splat(f32::MIN_POSITIVE);
        for (hertz, sensed) in partials.hertz(ratio).zip(&partials.sensed) {
            let Some(mut tooth) = self.tooth(hertz, &templates.window, templates.bins) else { break };
            tooth.lobe *= lanes(&templates.weight[tooth.bins()]);
            sums += *sensed * f32x8::splat(tooth.lobe.reduce_add());
            teeth.push(tooth);
        }
        sums
    }

    /// Amplitude at the jack of each partial of a note, in every manner.
    pub(in crate::following) fn sensed(&self, note: usize) -> &[f32x8] {
        &self.notes[note].sensed
    }

    /// Adds the power of a note's string, by the squares of its amplitudes in all manners.
    pub(in crate::following) fn add_power(
        &self,
        note: usize,
        ratio: f32,
        squares: &[f32; Self::MANNERS],
        row: &mut [f32],
    ) {
        let (partials, squares) = (&self.notes[note], f32x8::new(*squares));
        for (hertz, power) in partials.hertz(ratio).zip(&partials.power) {
            let Some(tooth) = self.tooth(hertz, &self.window, row.len()) else { break };
            let bins = &mut row[tooth.bins()];
            let sum = lanes(bins) + tooth.lobe * tooth.lobe * f32x8::splat((squares * *power).reduce_add());
            bins.copy_from_slice(sum.as_array());
        }
    }

    /// A partial of amplitude 1 under a window among so many bins, if it lies below their end.
    fn tooth(&self, hertz: f32, window: &Window, bins: usize) -> Option<Tooth> {
        let middle = hertz / self.spacing;
        let above = middle as usize + 1;
        let lobe = window.tooth(above as f32 - middle);
        match above.checked_sub(Window::TOOTH / 2) {
            Some(first) => (first + Window::TOOTH <= bins).then_some(Tooth { first, lobe }),
            None => {
                let (all, below) = (lobe.to_array(), Window::TOOTH / 2 - above);
                let inside = |bin: usize| all.get(bin + below).copied().unwrap_or(0.0);
                Some(Tooth { first: 0, lobe: f32x8::new(std::array::from_fn(inside)) })
            }
        }
    }
}

impl Partials {
    fn new(source: &Source, lattice: &Lattice, note: usize) -> Self {
        let (string, fret) = (note / Templates::FRETS, note % Templates::FRETS);
        let (fretted, material) = (source.strings[string].fretted(fret as f64), source.guitar.strings[string].material);
        let count = fretted.partials_below(lattice.hertz().last().unwrap_or_default());
        let powers = |n: usize| {
            let (hertz, wavenumber) = (fretted.partial(n), n as f64 * PI / fretted.length);
            let power = Voices::PLUCKED.map(|(plucked, rung)| {
                (pluck(n, wavenumber, plucked) * (-decay(material, fret, hertz) * rung).exp()).powi(2)
            });
            let sensed = source.sensed(string, hertz, wavenumber);
            (f32x8::new(power.map(|power| power as f32)), f32x8::new(power.map(|power| (power * sensed).sqrt() as f32)))
        };
        let (power, sensed) = (1..=count).map(powers).unzip();
        Self { string: fretted, power, sensed }
    }

    /// Frequencies of the partials when the string is stretched to that ratio of its pitch, in hertz.
    fn hertz(&self, ratio: f32) -> impl Iterator<Item = f32> {
        let stretched = self.string.stretched(f64::from(ratio));
        (1..=self.sensed.len()).map(move |n| stretched.partial(n) as f32)
    }
}
