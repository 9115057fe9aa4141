//! What every note would look like in the spectrum of the take.

use std::sync::Arc;

use super::lattice::Lattice;
use super::source::Source;
use super::window::Window;
use crate::document::StringMaterial;
use crate::string::StiffString;

/// Spectra of every string at every fret, plucked in two places, as the recorded circuit gives them.
#[derive(Debug, Clone)]
pub(super) struct Templates {
    pub(super) strings: usize,
    pub(super) bins: usize,
    pub(super) points: usize,
    /// Under which they are drawn.
    pub(super) window: Arc<Window>,
    /// One row of bins per template, weighted as [`Templates::weight`] says, of sum 1; two rows of noise follow the notes'.
    spectra: Vec<f32>,
    /// Per template, the sum of its spectrum when the string has an amplitude of 1: an activation over it is an amplitude.
    pub(super) sums: Vec<f32>,
    /// One value per bin by which magnitudes of the take are weighted: the circuit taken out, high frequencies raised.
    pub(super) weight: Vec<f32>,
    /// Semitones above the lowest open string of each note, rounded; a note is a string at a fret.
    pub(super) pitches: Vec<usize>,
}

impl Templates {
    /// Frets that are looked for, the open string included.
    pub(super) const FRETS: usize = 18;
    /// Templates a note.
    pub(super) const PER_NOTE: usize = 2;
    /// Rows of noise.
    pub(super) const NOISES: usize = 2;
    /// Where along the string they are plucked, in metres from the bridge.
    const PLUCKED: [f64; Self::PER_NOTE] = [0.10, 0.16];
    /// How long they have rung, in seconds: what their upper partials have lost.
    const RUNG: f64 = 0.15;
    /// Below this frequency, in hertz, magnitudes are weighted alike; above it in proportion to frequency, as partials fall.
    const LEVEL_BELOW: f64 = 80.0;
    /// What the circuit takes away is given back up to this share of its strongest response.
    const DIMMEST: f64 = 0.03;

    pub(super) fn new(source: &Source, lattice: &Lattice, window: &Arc<Window>) -> Self {
        let (strings, bins, points) = (source.strings.len(), lattice.analysed(), lattice.points());
        let weight = weights(source, lattice);
        let count = strings * Self::FRETS * Self::PER_NOTE;
        let mut spectra = vec![0.0; (count + Self::NOISES) * bins];
        for (template, spectrum) in spectra.chunks_exact_mut(bins).enumerate() {
            match template.checked_sub(count) {
                None => draw(source, template, lattice, window, spectrum),
                Some(0) => spectrum.fill(1.0),
                Some(_) => spectrum.iter_mut().zip(&weight).for_each(|(value, weight)| *value = 1.0 / weight),
            }
        }
        let sums = spectra.chunks_exact_mut(bins).map(|spectrum| weigh(&weight, spectrum)).collect();
        let (window, pitches) = (window.clone(), pitches(&source.strings));
        Self { strings, bins, points, window, spectra, sums, weight, pitches }
    }

    /// Templates of notes; those of noise come after them.
    pub(super) fn count(&self) -> usize {
        self.pitches.len() * Self::PER_NOTE
    }

    /// The spectrum of a template, of sum 1.
    pub(super) fn spectrum(&self, template: usize) -> &[f32] {
        &self.spectra[template * self.bins..][..self.bins]
    }

    /// Weights magnitudes as templates are, and brings them to a sum of 1; what it was.
    pub(super) fn weigh(&self, magnitudes: &mut [f32]) -> f32 {
        weigh(&self.weight, magnitudes)
    }

    /// What an activation is taken to be before anything is heard: less for high frets.
    pub(super) fn usual(&self, template: usize) -> f32 {
        let share = 1.0 / (self.count() + Self::NOISES) as f32;
        if template >= self.count() {
            return share;
        }
        let fret = template / Self::PER_NOTE % Self::FRETS;
        share * (-(fret as f32) / 12.0).exp()
    }
}

fn weigh(weight: &[f32], magnitudes: &mut [f32]) -> f32 {
    magnitudes.iter_mut().zip(weight).for_each(|(value, weight)| *value *= weight);
    let sum = magnitudes.iter().sum::<f32>() + 1e-9;
    magnitudes.iter_mut().for_each(|value| *value /= sum);
    sum
}

fn weights(source: &Source, lattice: &Lattice) -> Vec<f32> {
    let hertz: Vec<f64> = lattice.hertz().take(lattice.analysed()).collect();
    let circuit: Vec<f64> = hertz.iter().map(|&f| source.circuit(f)).collect();
    let dimmest = Templates::DIMMEST * circuit.iter().copied().fold(0.0, f64::max);
    let weight = |(&f, &circuit): (&f64, &f64)| f.max(Templates::LEVEL_BELOW) / circuit.max(dimmest);
    hertz.iter().zip(&circuit).map(weight).map(|weight| weight as f32).collect()
}

/// Semitones of each note above the lowest open string.
fn pitches(strings: &[StiffString]) -> Vec<usize> {
    let lowest = strings.iter().map(|string| string.fundamental).fold(f64::INFINITY, f64::min);
    let open = |string: &StiffString| (12.0 * (string.fundamental / lowest).log2()).round() as usize;
    strings.iter().flat_map(|string| (0..Templates::FRETS).map(move |fret| open(string) + fret)).collect()
}

/// Draws the magnitudes of a template of a note whose string has an amplitude of 1.
fn draw(source: &Source, template: usize, lattice: &Lattice, window: &Window, spectrum: &mut [f32]) {
    let (note, plucked) = (template / Templates::PER_NOTE, Templates::PLUCKED[template % Templates::PER_NOTE]);
    let (string, fret) = (note / Templates::FRETS, note % Templates::FRETS);
    let (fretted, material) = (source.strings[string].fretted(fret as f64), source.guitar.strings[string].material);
    for n in 1..=fretted.partials_below(Lattice::ANALYSED_HERTZ) {
        let (hertz, wavenumber) = (fretted.partial(n), n as f64 * std::f64::consts::PI / fretted.length);
        let amplitude = pluck(n, wavenumber, plucked) * (-decay(material, fret, hertz) * Templates::RUNG).exp();
        let power = amplitude.powi(2) * source.sensed(string, hertz, wavenumber);
        let (middle, reach) = (hertz / lattice.spacing(), window.reach() as f64);
        let (from, to) = ((middle - reach).ceil().max(0.0) as usize, (middle + reach).floor() as usize);
        for (bin, value) in spectrum.iter_mut().enumerate().take(to + 1).skip(from) {
            // Partials that meet in one bin add as powers: their phases are anything.
            *value += window.lobe(bin as f64 - middle).powi(2) * power as f32;
        }
    }
    spectrum.iter_mut().for_each(|value| *value = value.sqrt());
}

/// Amplitude of partial `n` of a string that is plucked so far from the bridge, in metres. A note is not plucked at one point, and not
/// always at the same: nulls of the plucking place are filled.
pub(super) fn pluck(n: usize, wavenumber: f64, place: f64) -> f64 {
    ((wavenumber * place).sin().powi(2) + 0.05).sqrt() / n as f64
}

/// Decay of a partial, in nepers per second: the reference study's fit, as `string::synthesis` has it.
pub(super) fn decay(material: StringMaterial, fret: usize, hertz: f64) -> f64 {
    let khz = hertz / 1000.0;
    let open = match material {
        StringMaterial::PlainSteel => 0.9 + 0.3 * khz + 0.10 * khz * khz,
        StringMaterial::NickelWound | StringMaterial::SteelWound => 0.7 + 0.35 * khz + 0.4 * khz * khz,
    };
    open * (1.0 + fret as f64 / 24.0)
}
