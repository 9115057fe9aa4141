//! Notes at the pitch at which they are heard.

use std::f64::consts::PI;
use std::sync::Arc;

use crate::following::lattice::Lattice;
use crate::following::source::Source;
use crate::following::templates::{Templates, decay, pluck};
use crate::following::window::Window;
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
    /// For every phase, what falls into the bins around a partial.
    lobe: Vec<f32>,
    spacing: f32,
    weight: Vec<f32>,
}

#[derive(Debug, Clone)]
struct Partials {
    /// The string at its fret.
    string: StiffString,
    /// What the recorded circuit gives of each partial's power.
    sensed: Vec<f32>,
    /// Power of each partial on the string, manner after manner.
    power: Vec<f32>,
}

impl Voices {
    /// Where a string is plucked, in metres from the bridge, and how long it has rung, in seconds. The spread of the study
    /// (place/goff.py), and the two manners of [`Templates`].
    const PLUCKED: [(f64, f64); Self::MANNERS] =
        [(0.09, 0.05), (0.09, 0.5), (0.13, 0.05), (0.13, 0.5), (0.18, 0.05), (0.18, 0.5), (0.10, 0.15), (0.16, 0.15)];
    /// Manners of plucking.
    pub(in crate::following) const MANNERS: usize = Self::FITTED + Templates::PER_NOTE;
    /// So many of them are tried on a note whose pitch is known; the others are those of the templates.
    pub(in crate::following) const FITTED: usize = 6;
    /// Places between two bins at which a partial may lie.
    const PHASES: f32 = 32.0;
    /// Partials are drawn up to this many bins from their middle; beyond what is left is below -60 dB.
    const BINS: f32 = 6.0;
    const WIDTH: usize = 2 * Self::BINS as usize;

    pub(in crate::following) fn new(
        source: &Source,
        lattice: &Lattice,
        window: &Window,
        templates: &Templates,
    ) -> Self {
        let notes = 0..source.strings.len() * Templates::FRETS;
        let lobe = |place: usize| {
            let from_first = (place / Self::WIDTH) as f64 / f64::from(Self::PHASES);
            window.lobe(from_first + (place % Self::WIDTH) as f64 - f64::from(Self::BINS)).powi(2)
        };
        Self {
            notes: notes.map(|note| Partials::new(source, lattice, note)).collect(),
            lobe: (0..(Self::PHASES as usize + 1) * Self::WIDTH).map(lobe).collect(),
            spacing: lattice.spacing() as f32,
            weight: templates.weight.clone(),
        }
    }

    /// Sum of every template's spectrum as voices are drawn: an activation over it is an amplitude.
    pub(in crate::following) fn sums(&self, templates: &Templates) -> Arc<[f32]> {
        let mut row = vec![0.0; templates.bins];
        let sum = |template: usize| {
            let manner = Self::FITTED + template % Templates::PER_NOTE;
            self.spectrum(template / Templates::PER_NOTE, 1.0, manner, &mut row)
        };
        (0..templates.count()).map(sum).collect()
    }

    /// Writes the weighted spectrum at the jack of a note that sounds `ratio` above what is documented, of sum 1; gives what
    /// the sum was.
    pub(in crate::following) fn spectrum(&self, note: usize, ratio: f32, manner: usize, row: &mut [f32]) -> f32 {
        row.fill(0.0);
        let partials = &self.notes[note];
        let count = partials.sensed.len();
        let power = &partials.power[manner * count..][..count];
        for (hertz, (power, sensed)) in partials.hertz(ratio).zip(power.iter().zip(&partials.sensed)) {
            self.draw(hertz, power * sensed, row);
        }
        row.iter_mut().zip(&self.weight).for_each(|(value, weight)| *value = value.sqrt() * weight);
        let sum = row.iter().sum::<f32>().max(f32::MIN_POSITIVE);
        row.iter_mut().for_each(|value| *value /= sum);
        sum
    }

    /// Adds the power of a note's string, by the squares of its amplitudes in all manners.
    pub(in crate::following) fn add_power(
        &self,
        note: usize,
        ratio: f32,
        squares: &[f32; Self::MANNERS],
        row: &mut [f32],
    ) {
        let partials = &self.notes[note];
        let count = partials.sensed.len();
        for (i, hertz) in partials.hertz(ratio).enumerate() {
            let power = squares.iter().enumerate().map(|(manner, square)| square * partials.power[manner * count + i]);
            self.draw(hertz, power.sum(), row);
        }
    }

    fn draw(&self, hertz: f32, power: f32, row: &mut [f32]) {
        let middle = hertz / self.spacing;
        let first = (middle - Self::BINS).ceil();
        let phase = ((first + Self::BINS - middle) * Self::PHASES + 0.5) as usize;
        let lobe = &self.lobe[phase * Self::WIDTH..][..Self::WIDTH];
        let (from, below) = (first.max(0.0) as usize, (-first).max(0.0) as usize);
        let bins = row.iter_mut().skip(from).zip(lobe.iter().skip(below));
        bins.for_each(|(value, lobe)| *value += power * lobe);
    }
}

impl Partials {
    fn new(source: &Source, lattice: &Lattice, note: usize) -> Self {
        let (string, fret) = (note / Templates::FRETS, note % Templates::FRETS);
        let (fretted, material) = (source.strings[string].fretted(fret as f64), source.guitar.strings[string].material);
        let count = fretted.partials_below(lattice.hertz().last().unwrap_or_default());
        let partial = |n: usize| (fretted.partial(n), n as f64 * PI / fretted.length);
        let sensed =
            (1..=count).map(partial).map(|(hertz, wavenumber)| source.sensed(string, hertz, wavenumber) as f32);
        let power = |&(plucked, rung): &(f64, f64)| {
            let of_partial = move |n: usize| {
                let (hertz, wavenumber) = partial(n);
                let rung = (-decay(material, fret, hertz) * rung).exp();
                (pluck(n, wavenumber, plucked) * rung).powi(2) as f32
            };
            (1..=count).map(of_partial)
        };
        Self { string: fretted, sensed: sensed.collect(), power: Voices::PLUCKED.iter().flat_map(power).collect() }
    }

    /// Frequencies of the partials when the string is stretched to that ratio of its pitch, in hertz.
    fn hertz(&self, ratio: f32) -> impl Iterator<Item = f32> {
        let stretched = self.string.stretched(f64::from(ratio));
        (1..=self.sensed.len()).map(move |n| stretched.partial(n) as f32)
    }
}
