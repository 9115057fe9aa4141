//! How far apart two positions sound.

use num_complex::Complex64;

use super::figures::Surveyor;
use super::loudness::k_weighting;
use crate::circuit::{Controls, Grid, Responses};
use crate::document::Guitar;
use crate::string::{StiffString, sensing};

/// Notes go from the open string to this fret on every string.
pub const HIGHEST_FRET: u8 = 12;
/// Highest partial that counts, in hertz: little of a guitar's spectrum lies above.
const TOP: f64 = 10e3;
/// Partials more than this below the strongest of a note are not compared in dB: they are masked or in the noise.
const HIDDEN_DB: f64 = -50.0;

/// How far apart two positions sound, each brought to the same loudness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    /// Relative spectral error, mean over the notes: 0 is the same, 1 as far apart as two sounds with nothing in common but power.
    pub relative_error: f64,
    /// Difference of the partials' levels, root mean square over partials and notes, in dB.
    pub level_db: f64,
}

/// Distances between every two selector positions.
#[derive(Debug, Clone, PartialEq)]
pub struct Distances {
    count: usize,
    pairs: Vec<Distance>,
}

impl Distances {
    /// Number of positions.
    pub fn count(&self) -> usize {
        self.count
    }

    /// The distance between two positions, from 1; none when one of them is silent, or there is no such position.
    pub fn between(&self, a: u8, b: u8) -> Option<Distance> {
        let (a, b) = (usize::from(a).checked_sub(1)?, usize::from(b).checked_sub(1)?);
        (a < self.count && b < self.count)
            .then(|| self.pairs[a * self.count + b])
            .filter(|d| !d.relative_error.is_nan())
    }

    /// The position that sounds most like this one, from 1.
    pub fn nearest(&self, position: u8) -> Option<(u8, Distance)> {
        let others = (1..=u8::try_from(self.count).unwrap_or(u8::MAX)).filter(|&other| other != position);
        let distances = others.filter_map(|other| Some((other, self.between(position, other)?)));
        distances.min_by(|(_, a), (_, b)| a.relative_error.total_cmp(&b.relative_error))
    }
}

impl Surveyor {
    /// Distances between every two selector positions, with knobs, switches and load as they stand.
    ///
    /// Every string plays the notes from open to fret 12, each a set of partials of amplitude 1/n as a pluck gives them, taken
    /// where the pickups sit and through the circuit. Positions are brought to equal loudness over all notes (BS.1770's
    /// weighting), since that is how they are compared. Then, note by note, the relative spectral error
    /// sqrt(sum (a_n - b_n)^2 / sum (a_n^2 + b_n^2) / 2) over amplitudes of partials; Horner, Beauchamp and So ("A search for best
    /// error metrics to predict discrimination of original and spectrally altered musical instrument sounds", ICMC 2004) found
    /// that the relative spectral error explains 91 % of what listeners tell apart, differences in dB 82 % (from its abstract; the
    /// form of the error is from memory). Theirs is relative to the original; here neither is, so the mean of both powers stands
    /// below.
    pub fn distances(&mut self, controls: &Controls) -> Distances {
        let notes = Notes::new(&self.assembly.guitar, self.wiring.grid());
        let spectra: Vec<Option<Vec<f64>>> =
            self.standing(controls).iter().map(|controls| notes.matched(self.wiring.responses(controls))).collect();
        let count = spectra.len();
        let distance = |index: usize| match (&spectra[index / count], &spectra[index % count]) {
            (Some(a), Some(b)) => notes.distance(a, b),
            _ => Distance { relative_error: f64::NAN, level_db: f64::NAN },
        };
        Distances { count, pairs: (0..count * count).map(distance).collect() }
    }
}

/// The partials of every note, and what each pickup makes of them.
struct Notes {
    partials: Vec<Partial>,
    /// Where each note's partials begin, and where the last one's end.
    starts: Vec<usize>,
}

struct Partial {
    /// Where it lies on the grid.
    place: f64,
    /// Weight of its power in loudness.
    weight: f64,
    /// Signed amplitude of each pickup, and the power that fills its comb's nulls.
    sensed: Vec<(f64, f64)>,
}

impl Notes {
    fn new(guitar: &Guitar, grid: &Grid) -> Self {
        let mut notes = Self { partials: Vec::new(), starts: vec![0] };
        for (s, open) in StiffString::all(guitar).iter().enumerate() {
            for fret in 0..=HIGHEST_FRET {
                let string = open.fretted(f64::from(fret));
                for n in 1..=string.partials_below(TOP) {
                    notes.partials.push(Partial::new(guitar, grid, s, &string, n));
                }
                notes.starts.push(notes.partials.len());
            }
        }
        notes
    }

    /// Amplitudes of all partials through a circuit, brought to loudness 1; none when nothing sounds.
    fn matched(&self, responses: &Responses) -> Option<Vec<f64>> {
        let powers: Vec<f64> = self.partials.iter().map(|partial| partial.power(responses)).collect();
        let loudness: f64 = powers.iter().zip(&self.partials).map(|(power, partial)| power * partial.weight).sum();
        // -240 dB: nothing.
        (loudness > 1e-24).then(|| powers.iter().map(|power| (power / loudness).sqrt()).collect())
    }

    fn distance(&self, a: &[f64], b: &[f64]) -> Distance {
        let (mut relative, mut squares, mut compared) = (0.0, 0.0, 0usize);
        for note in self.starts.windows(2) {
            let (a, b) = (&a[note[0]..note[1]], &b[note[0]..note[1]]);
            let pairs = || a.iter().zip(b);
            let difference: f64 = pairs().map(|(a, b)| (a - b).powi(2)).sum();
            let power: f64 = pairs().map(|(a, b)| 0.5 * (a * a + b * b)).sum();
            relative += (difference / power.max(f64::MIN_POSITIVE)).sqrt();
            let hidden = 10f64.powf(HIDDEN_DB / 20.0) * pairs().map(|(a, b)| a.max(*b)).fold(0.0, f64::max);
            for (a, b) in pairs().filter(|(a, b)| a.max(**b) > hidden) {
                squares += (20.0 * (a.max(hidden) / b.max(hidden)).log10()).powi(2);
                compared += 1;
            }
        }
        let notes = (self.starts.len() - 1).max(1) as f64;
        Distance { relative_error: relative / notes, level_db: (squares / compared.max(1) as f64).sqrt() }
    }
}

impl Partial {
    fn new(guitar: &Guitar, grid: &Grid, s: usize, string: &StiffString, n: usize) -> Self {
        let hertz = string.partial(n);
        let wavenumber = string.wavenumber(hertz);
        let of_pickup = |pickup: &crate::document::Pickup| {
            let level = sensing::voice(pickup, hertz) / n as f64;
            let distance = pickup.distance(s, guitar.strings.len());
            let top = level * sensing::aperture(pickup, wavenumber);
            (level * sensing::sense(pickup, distance, wavenumber), sensing::null_floor(pickup) * top * top)
        };
        let sensed = guitar.pickups.iter().map(of_pickup).collect();
        Self { place: grid.place(hertz), weight: k_weighting(hertz), sensed }
    }

    /// Power at the jack.
    fn power(&self, responses: &Responses) -> f64 {
        let below = (self.place.floor() as usize).min(Grid::POINTS - 2);
        let share = self.place - below as f64;
        let (mut sum, mut filling) = (Complex64::ZERO, 0.0);
        for (pickup, (signal, fill)) in self.sensed.iter().enumerate() {
            let response = responses.at(pickup, below) * (1.0 - share) + responses.at(pickup, below + 1) * share;
            sum += response * signal;
            filling += response.norm_sqr() * fill;
        }
        sum.norm_sqr() + filling
    }
}
