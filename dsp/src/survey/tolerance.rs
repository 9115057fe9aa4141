//! What the tolerances of parts do to the figures: many guitars built from the same document.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::figures::{Figures, Surveyor};
use crate::circuit::{Band, CircuitError, Controls};
use crate::document::Assembly;

/// Figures of one position over many built guitars. Each band holds 90 % of them, around the figure of the document.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// Frequency of the resonance, in hertz; none where it is missing in the document's own figures.
    pub resonance: Option<Band>,
    /// Its height, in dB.
    pub height_db: Option<Band>,
    /// Bandwidth, in hertz.
    pub bandwidth: Band,
    /// Level against position 1 of the same guitar, in dB.
    pub level_db: Band,
    /// Level against that of the document, in dB.
    pub loudness_db: Band,
    /// Hum left at 50 and 60 Hz, in dB.
    pub hum_left_db: [Band; 2],
    /// Noise, in volts.
    pub noise: Band,
    /// DC at the jack, in ohms.
    pub dc: Band,
    /// Output impedance, in ohms.
    pub output_impedance: Band,
}

/// What was tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tolerances {
    /// Guitars built.
    pub trials: usize,
    /// The seed: the same seed builds the same guitars.
    pub seed: u64,
}

impl Default for Tolerances {
    /// 200 guitars: the ends of the bands then rest on ten of them each.
    fn default() -> Self {
        Self { trials: 200, seed: 1 }
    }
}

/// The spread of every selector position's figures, with knobs, switches and load as they stand.
///
/// Every pot, capacitor and resistor is drawn evenly within its tolerance; pickups stay as their document says.
///
/// # Errors
/// When a circuit has no single solution.
pub fn tolerances(
    assembly: &Assembly,
    controls: &Controls,
    tolerances: &Tolerances,
) -> Result<Vec<Spread>, CircuitError> {
    let mut surveyor = Surveyor::new(assembly)?;
    let nominal = Trial::new(&mut surveyor, controls)?;
    let mut random = ChaCha8Rng::seed_from_u64(tolerances.seed);
    let mut trials = Vec::with_capacity(tolerances.trials);
    for _ in 0..tolerances.trials {
        let mut built = surveyor.rebuilt(&drawn(assembly, &mut random))?;
        trials.push(Trial::new(&mut built, controls)?);
    }
    Ok((0..nominal.figures.len()).map(|position| spread(&nominal, &trials, position)).collect())
}

/// One guitar's figures.
struct Trial {
    figures: Vec<Figures>,
    loudness: Vec<f64>,
}

impl Trial {
    fn new(surveyor: &mut Surveyor, controls: &Controls) -> Result<Self, CircuitError> {
        let standing = surveyor.standing(controls);
        let loudness = standing.iter().map(|controls| surveyor.loudness(controls)).collect();
        Ok(Self { figures: surveyor.positions(controls)?, loudness })
    }
}

/// The same wiring with every value but the pickups' drawn within its tolerance.
fn drawn(assembly: &Assembly, random: &mut ChaCha8Rng) -> Assembly {
    let mut built = assembly.clone();
    for part in (0..assembly.parts.len()).filter(|&part| !assembly.is_pickup(part)) {
        if let Some(tolerance) = assembly.tolerance(part) {
            built.scale(part, 1.0 + tolerance * random.random_range(-1.0..=1.0));
        }
    }
    built
}

fn spread(nominal: &Trial, trials: &[Trial], position: usize) -> Spread {
    let band = |figure: &dyn Fn(&Figures) -> f64| {
        band(figure(&nominal.figures[position]), trials.iter().map(|trial| figure(&trial.figures[position])))
    };
    let optional = |figure: &dyn Fn(&Figures) -> Option<f64>| {
        let found = trials.iter().filter_map(|trial| figure(&trial.figures[position]));
        figure(&nominal.figures[position]).map(|nominal| self::band(nominal, found))
    };
    let loudness_db = |trial: &Trial| 10.0 * (trial.loudness[position] / nominal.loudness[position]).log10();
    let loudness = trials.iter().map(loudness_db).filter(|db| db.is_finite());
    Spread {
        resonance: optional(&|figures| figures.resonance.map(|resonance| resonance.hertz)),
        height_db: optional(&|figures| figures.resonance.map(|resonance| resonance.height_db)),
        bandwidth: band(&|figures| figures.bandwidth),
        level_db: band(&|figures| figures.level_db),
        loudness_db: self::band(0.0, loudness),
        hum_left_db: [0, 1].map(|mains| band(&|figures| figures.hum_left_db[mains])),
        noise: band(&|figures| figures.noise),
        dc: band(&|figures| figures.dc.nominal),
        output_impedance: band(&|figures| figures.output_impedance),
    }
}

/// From the 5th to the 95th percentile.
fn band(nominal: f64, values: impl Iterator<Item = f64>) -> Band {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    let at = |share: f64| values.get((share * values.len().saturating_sub(1) as f64).round() as usize).copied();
    Band { low: at(0.05).unwrap_or(nominal), nominal, high: at(0.95).unwrap_or(nominal) }
}
