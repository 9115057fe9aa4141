//! What every note would look like in the spectrum of the take.

use super::lattice::Lattice;
use super::source::Source;
use super::window::Window;
use crate::document::StringMaterial;
use crate::string::StiffString;

/// Spectra of every string at every fret, plucked in two places, as the recorded circuit gives them; and the energies that
/// the string then holds.
#[derive(Debug, Clone)]
pub(super) struct Templates {
    pub(super) strings: usize,
    pub(super) bins: usize,
    pub(super) points: usize,
    /// One row of bins per template, weighted as [`Templates::weight`] says, of sum 1; two rows of noise follow the notes'.
    spectra: Vec<f32>,
    /// One row of points per template of a note: power of the string when the template's activation is 1.
    energies: Vec<f32>,
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

    pub(super) fn new(source: &Source, lattice: &Lattice, window: &Window) -> Self {
        let (strings, bins, points) = (source.strings.len(), lattice.analysed(), lattice.points());
        let weight = weights(source, lattice);
        let count = strings * Self::FRETS * Self::PER_NOTE;
        let mut spectra = vec![0.0; (count + Self::NOISES) * bins];
        let mut energies = vec![0.0; count * points];
        let rows = spectra.chunks_exact_mut(bins).zip(energies.chunks_exact_mut(points)).take(count);
        for (row, (spectrum, energy)) in rows.enumerate() {
            let (note, plucked) = (row / Self::PER_NOTE, Self::PLUCKED[row % Self::PER_NOTE]);
            let partials = Partials::new(source, note / Self::FRETS, note % Self::FRETS, plucked);
            partials.draw(lattice, window, &weight, spectrum, energy);
        }
        for (row, noise) in spectra.chunks_exact_mut(bins).skip(count).enumerate() {
            let shape = |bin: usize| if row == 0 { weight[bin] } else { 1.0 };
            noise.iter_mut().enumerate().for_each(|(bin, value)| *value = shape(bin));
            let sum: f32 = noise.iter().sum();
            noise.iter_mut().for_each(|value| *value /= sum);
        }
        let pitches = pitches(&source.strings);
        Self { strings, bins, points, spectra, energies, weight, pitches }
    }

    /// Templates of notes; those of noise come after them.
    pub(super) fn count(&self) -> usize {
        self.pitches.len() * Self::PER_NOTE
    }

    /// The spectrum of a template, of sum 1.
    pub(super) fn spectrum(&self, template: usize) -> &[f32] {
        &self.spectra[template * self.bins..][..self.bins]
    }

    /// Power of the string, when the template's activation is 1.
    pub(super) fn energy(&self, template: usize) -> &[f32] {
        &self.energies[template * self.points..][..self.points]
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

/// Partials of one note: frequency in hertz, amplitude on the string, power at the jack relative to the string's.
struct Partials(Vec<(f64, f64, f64)>);

impl Partials {
    fn new(source: &Source, string: usize, fret: usize, plucked: f64) -> Self {
        let open = source.strings[string];
        let fretted = open.fretted(fret as f64);
        let material = source.guitar.strings[string].material;
        let partial = |n: usize| {
            let (hertz, wavenumber) = (fretted.partial(n), n as f64 * std::f64::consts::PI / fretted.length);
            let amplitude = pluck(n, wavenumber, plucked) * (-decay(material, fret, hertz) * Templates::RUNG).exp();
            (hertz, amplitude, source.sensed(string, hertz, wavenumber))
        };
        Self((1..=fretted.partials_below(Lattice::ANALYSED_HERTZ)).map(partial).collect())
    }

    /// Draws the weighted spectrum, of sum 1, and the energy that goes with it.
    fn draw(&self, lattice: &Lattice, window: &Window, weight: &[f32], spectrum: &mut [f32], energy: &mut [f32]) {
        for &(hertz, amplitude, sensed) in &self.0 {
            let middle = hertz / lattice.spacing();
            let from = (middle - Window::BINS as f64).ceil().max(0.0) as usize;
            let to = ((middle + Window::BINS as f64).floor() as usize).min(lattice.points() - 1);
            for (bin, energy) in energy.iter_mut().enumerate().take(to + 1).skip(from) {
                let lobe = window.lobe(bin as f64 - middle);
                *energy += lobe * amplitude as f32;
                if let Some(value) = spectrum.get_mut(bin) {
                    // Partials that meet in one bin add as powers: their phases are anything.
                    *value += (lobe * amplitude as f32).powi(2) * sensed as f32;
                }
            }
        }
        spectrum.iter_mut().zip(weight).for_each(|(value, weight)| *value = value.sqrt() * weight);
        let sum = spectrum.iter().sum::<f32>().max(f32::MIN_POSITIVE);
        spectrum.iter_mut().for_each(|value| *value /= sum);
        energy.iter_mut().for_each(|value| *value = (*value / sum).powi(2));
        let (known, beyond) = energy.split_at_mut(lattice.analysed());
        continue_upwards(known, beyond);
    }
}

/// Above the analysis power is taken to fall with f^4 from what the top of it holds on average.
fn continue_upwards(known: &[f32], beyond: &mut [f32]) {
    const AVERAGED: usize = 90;
    let top = &known[known.len().saturating_sub(AVERAGED)..];
    let mean = top.iter().sum::<f32>() / top.len().max(1) as f32;
    let edge = known.len() as f32;
    beyond.iter_mut().enumerate().for_each(|(i, value)| *value = mean * (edge / (edge + i as f32)).powi(4));
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
