//! The figures of a position.

use num_complex::Complex64;

use super::loudness::k_weighting;
use super::shape::{self, Resonance};
use crate::circuit::{Band, CircuitError, CompiledWiring, Controls, Grid, Responses, dc_band, noise_density};
use crate::document::Assembly;
use crate::find::{Row, read_row};
use crate::string::PlaceTable;

/// A wiring ready to be surveyed.
#[derive(Debug, Clone)]
pub struct Surveyor {
    pub(super) assembly: Assembly,
    pub(super) wiring: CompiledWiring,
    place: PlaceTable,
    /// What each coil picks up of a hum field, with the sign of its winding.
    hum: Vec<f64>,
}

/// What a wiring gives where the controls stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// Where the controls stand.
    pub controls: Controls,
    /// What sounds with the knobs on 10, and what each knob does there. `reading.words` says it in words.
    pub reading: Row,
    /// The highest peak of the response above the bass; none when there is none.
    pub resonance: Option<Resonance>,
    /// Where the response has fallen 3 dB below the bass for good, in hertz.
    pub bandwidth: f64,
    /// Level of a string-like spectrum, weighted as loudness is (BS.1770), against position 1 with the same knobs, switches and
    /// load, in dB. [`SILENT_DB`](Self::SILENT_DB) when nothing sounds.
    pub level_db: f64,
    /// Hum at 50 and 60 Hz against the same pickups with every hum voltage adding up, in dB: 0 when nothing cancels.
    pub hum_left_db: [f64; 2],
    /// Thermal noise at the jack with its load, 20 Hz to 20 kHz, in volts (root mean square), at 20 degrees Celsius.
    pub noise: f64,
    /// DC resistance at the jack with nothing plugged in, in ohms, with the band that tolerances leave.
    pub dc: Band,
    /// Magnitude of the impedance at the jack without the load, at 1 kHz, in ohms.
    pub output_impedance: f64,
}

impl Figures {
    /// Stands for the level of silence, and for hum of which nothing is left.
    pub const SILENT_DB: f64 = -120.0;
}

/// Room temperature, in kelvin.
const KELVIN: f64 = 293.15;
/// What is heard, in hertz.
const AUDIBLE: (f64, f64) = (20.0, 20e3);
/// Mains frequencies, in hertz.
const MAINS: [f64; 2] = [50.0, 60.0];
/// Where an output impedance is told, in hertz.
const IMPEDANCE_AT: f64 = 1e3;
/// Highest frequency that is looked at, in hertz.
const TOP: f64 = 24e3;

impl Surveyor {
    /// Compiles a wiring to be surveyed.
    ///
    /// # Errors
    /// When the circuit has no single solution.
    pub fn new(assembly: &Assembly) -> Result<Self, CircuitError> {
        let grid = Grid::up_to(TOP);
        let place = PlaceTable::prior(&assembly.guitar, grid.hertz());
        Self::with_place(assembly, &grid, place)
    }

    /// The same with the place table at hand.
    pub(super) fn with_place(assembly: &Assembly, grid: &Grid, place: PlaceTable) -> Result<Self, CircuitError> {
        let wiring = CompiledWiring::new(assembly, grid)?;
        // A homogeneous field gives a voltage in proportion to the turns (Faraday), and inductance goes as their square.
        let hum = assembly.guitar.pickups.iter().map(|pickup| pickup.hum_sign() * pickup.coil.inductance.sqrt());
        Ok(Self { assembly: assembly.clone(), wiring, place, hum: hum.collect() })
    }

    /// The same guitar with other part values.
    pub(super) fn rebuilt(&self, assembly: &Assembly) -> Result<Self, CircuitError> {
        Self::with_place(assembly, self.wiring.grid(), self.place.clone())
    }

    /// The figures where the controls stand.
    ///
    /// # Errors
    /// When the circuit has no single solution at DC.
    pub fn figures(&mut self, controls: &Controls) -> Result<Figures, CircuitError> {
        let mut first = *controls;
        first.position = 1;
        let reference = self.loudness(&first);
        self.figures_against(controls, reference)
    }

    /// The figures of every selector position, with knobs, switches and load as they stand.
    ///
    /// # Errors
    /// As [`Surveyor::figures`].
    pub fn positions(&mut self, controls: &Controls) -> Result<Vec<Figures>, CircuitError> {
        let standing = self.standing(controls);
        let reference = self.loudness(&standing[0]);
        standing.iter().map(|controls| self.figures_against(controls, reference)).collect()
    }

    /// The same controls in every selector position.
    pub(super) fn standing(&self, controls: &Controls) -> Vec<Controls> {
        let base = *controls;
        let at = |position: u8| {
            let mut controls = base;
            controls.position = position;
            controls
        };
        (1..=self.assembly.controls.positions).map(at).collect()
    }

    pub(super) fn figures_against(&mut self, controls: &Controls, reference: f64) -> Result<Figures, CircuitError> {
        let loudness = self.loudness(controls);
        let grid = self.wiring.grid().clone();
        let responses = self.wiring.responses(controls);
        let level = shape::level_db(responses);
        let sounds = loudness > 0.0;
        let level_db = 10.0 * (loudness / reference).log10();
        Ok(Figures {
            controls: *controls,
            reading: read_row(&self.assembly, controls),
            resonance: shape::resonance(&level, &grid).filter(|_| sounds),
            bandwidth: shape::bandwidth(&level, &grid),
            level_db: if level_db.is_finite() { level_db.max(Figures::SILENT_DB) } else { Figures::SILENT_DB },
            hum_left_db: MAINS.map(|hertz| hum_left_db(responses, &self.hum, grid.place(hertz))),
            noise: noise(responses, &grid),
            dc: dc_band(&self.assembly, controls)?,
            output_impedance: unloaded(responses, &grid, controls).norm(),
        })
    }

    /// Loudness-weighted power at the jack of a string-like spectrum; relative.
    pub(super) fn loudness(&mut self, controls: &Controls) -> f64 {
        let hertz = self.wiring.grid().hertz().to_vec();
        let responses = self.wiring.responses(controls);
        let power = |point: usize| {
            let mut sum = 0.0;
            for i in 0..responses.pickups() {
                for j in 0..responses.pickups() {
                    let cross = responses.at(i, point) * responses.at(j, point).conj();
                    sum += cross.re * self.place.product(i, j)[point];
                }
            }
            sum * k_weighting(hertz[point])
        };
        integrate(&hertz, power)
    }
}

/// Integral over the audible range by the trapezoid rule.
fn integrate(hertz: &[f64], value: impl Fn(usize) -> f64) -> f64 {
    let inside = |point: &usize| hertz[*point] >= AUDIBLE.0 && hertz[*point + 1] <= AUDIBLE.1;
    let panel = |point: usize| 0.5 * (value(point) + value(point + 1)) * (hertz[point + 1] - hertz[point]);
    (0..hertz.len() - 1).filter(inside).map(panel).sum()
}

/// Thermal noise of a passive circuit is that of the real part of its impedance: integral of 4 k T Re Z (Nyquist 1928).
fn noise(responses: &Responses, grid: &Grid) -> f64 {
    integrate(grid.hertz(), |point| noise_density(responses.impedance(point).re.max(0.0), KELVIN).powi(2)).sqrt()
}

/// The hum of all pickups together against that without cancellation, in dB, at a place of the grid.
fn hum_left_db(responses: &Responses, hum: &[f64], place: f64) -> f64 {
    let terms = hum.iter().enumerate().map(|(pickup, hum)| between(place, |point| responses.at(pickup, point)) * hum);
    let terms: Vec<Complex64> = terms.collect();
    let adding: f64 = terms.iter().map(|term| term.norm()).sum();
    let sum: Complex64 = terms.iter().sum();
    let left = 20.0 * (sum.norm() / adding).log10();
    if left.is_finite() { left.max(Figures::SILENT_DB) } else { Figures::SILENT_DB }
}

/// Impedance at the jack with the load taken off, in ohms.
fn unloaded(responses: &Responses, grid: &Grid, controls: &Controls) -> Complex64 {
    let loaded = between(grid.place(IMPEDANCE_AT), |point| responses.impedance(point));
    if loaded == Complex64::ZERO {
        return loaded;
    }
    let load = Complex64::new(1.0 / controls.load.input, std::f64::consts::TAU * IMPEDANCE_AT * controls.load.cable);
    (loaded.inv() - load).inv()
}

/// A value between two points of the grid, in a straight line.
fn between(place: f64, value: impl Fn(usize) -> Complex64) -> Complex64 {
    let below = (place.floor().max(0.0) as usize).min(Grid::POINTS - 2);
    let share = place - below as f64;
    value(below) * (1.0 - share) + value(below + 1) * share
}
