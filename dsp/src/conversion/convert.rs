//! The conversion of a take to an option.

use super::boost::limit_boost;
use super::detail::Detail;
use super::power::power_at_jack;
use super::recorded::{ConversionError, Recorded};
use super::target::Target;
use crate::circuit::{CompiledWiring, Controls, Grid, Responses};
use crate::document::Assembly;
use crate::string::Playing;

/// What turns a take into the sound of an option, for any controls. Following the controls allocates nothing.
#[derive(Debug, Clone)]
pub struct Conversion {
    recorded: Recorded,
    option: CompiledWiring,
    power: Box<[f64; Grid::POINTS]>,
    /// What following needs; none where the take is not followed.
    detail: Option<Detail>,
    /// Controls that were asked about last, and whether following changes anything under them.
    estimated: Option<(Controls, bool)>,
}

/// How far a conversion can be trusted where the controls stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assessment {
    /// Whether only the circuit differs: the same pickups sound in the same proportions.
    pub exact: bool,
    /// The most by which the boost limit holds a frequency back, in dB; 0 when it does not act.
    pub held_back_db: f64,
    /// The frequency at which it does, in hertz.
    pub held_back_hertz: f64,
    /// Whether nothing is heard.
    pub silent: bool,
}

/// ln|G| of what is not heard: -140 dB. A floor, so that silence stays finite.
pub(super) const LEAST_LOG_GAIN: f64 = -16.118_095_650_958_32;
/// Largest part of a response, relative to the whole, that may differ in proportion and still count as the same.
const SAME: f64 = 1e-6;

impl Assessment {
    /// Of nothing at all.
    pub const SILENT: Self = Self { exact: true, held_back_db: 0.0, held_back_hertz: 0.0, silent: true };

    /// Of a sum: no better than the worse part, and heard when a part is.
    pub fn with(&self, other: &Self) -> Self {
        let held = if other.held_back_db > self.held_back_db { other } else { self };
        Self { exact: self.exact && other.exact, silent: self.silent && other.silent, ..*held }
    }

    /// Of an exact conversion with this ln|G| before the boost limit.
    pub(super) fn of_exact(log_gain: &[f64; Grid::POINTS], grid: &Grid) -> Self {
        let held = |log_gain: &f64| (log_gain - limit_boost(*log_gain)) * 20.0 / std::f64::consts::LN_10;
        let (point, held_back_db) =
            log_gain.iter().map(held).enumerate().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0));
        let silent = log_gain.iter().all(|&gain| gain <= LEAST_LOG_GAIN);
        Self { exact: true, held_back_db, held_back_hertz: grid.hertz()[point], silent }
    }
}

impl Conversion {
    /// Converts from what was recorded to an option on the same guitar.
    ///
    /// # Errors
    /// When the option's circuit has no single solution, or its guitar has other pickups.
    pub fn new(recorded: &Recorded, option: &Assembly) -> Result<Self, ConversionError> {
        let pickups = (option.guitar.pickups.len(), recorded.responses.pickups());
        if pickups.0 != pickups.1 {
            return Err(ConversionError::OtherGuitar { option: pickups.0, recorded: pickups.1 });
        }
        let option = CompiledWiring::new(option, &recorded.grid)?;
        let detail = recorded.places.as_ref();
        let detail = detail.map(|places| Detail::new(places.clone(), &recorded.grid, &recorded.responses));
        let power = Box::new([0.0; Grid::POINTS]);
        Ok(Self { recorded: recorded.clone(), option, power, detail, estimated: None })
    }

    /// The option's responses where the controls stand, at the points of [`Conversion::grid`].
    pub fn responses(&mut self, controls: &Controls) -> &Responses {
        self.option.responses(controls)
    }

    /// The grid it was made for.
    pub fn grid(&self) -> &Grid {
        &self.recorded.grid
    }

    /// How far it can be trusted where the controls stand.
    pub fn assess(&mut self, controls: &Controls) -> Assessment {
        let mut log_gain = [0.0; Grid::POINTS];
        self.unlimited(controls, &mut log_gain);
        let exact = in_proportion(self.option.responses(controls), &self.recorded.responses);
        Assessment { exact, ..Assessment::of_exact(&log_gain, &self.recorded.grid) }
    }

    /// |G|^2 = power through the option / power through what was recorded; see `design.md`, section 5.
    fn unlimited(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        power_at_jack(self.option.responses(controls), &self.recorded.place, &mut self.power);
        for ((gain, option), recorded) in log_gain.iter_mut().zip(self.power.iter()).zip(&self.recorded.power) {
            *gain = (0.5 * (option / recorded).ln()).max(LEAST_LOG_GAIN);
        }
    }
}

impl Target for Conversion {
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        assert_eq!(log_gain.len(), Grid::POINTS, "one value per point of the grid");
        self.unlimited(controls, log_gain);
        log_gain.iter_mut().for_each(|gain| *gain = limit_boost(*gain));
    }

    fn follows(&mut self, controls: &Controls) -> bool {
        if self.detail.is_none() {
            return false;
        }
        match self.estimated {
            Some((asked, estimated)) if asked == *controls => estimated,
            _ => {
                let responses = self.option.responses(controls);
                let silent = (0..Grid::POINTS).all(|point| norm(responses, point) == 0.0);
                let estimated = !silent && !in_proportion(responses, &self.recorded.responses);
                self.estimated = Some((*controls, estimated));
                estimated
            }
        }
    }

    fn write_detail(&mut self, controls: &Controls, playing: &Playing, detail: &mut [f32]) {
        let Some(mut own) = self.detail.take() else { return detail.fill(0.0) };
        if !own.is_for(controls) {
            let mut log_gain = [0.0; Grid::POINTS];
            self.write(controls, &mut log_gain);
            own.prepare(controls, self.option.responses(controls), &log_gain);
        }
        own.write(playing, detail);
        self.detail = Some(own);
    }

    fn tells_apart(&mut self, _: &Controls, before: &[f32], now: &[f32]) -> bool {
        self.detail.as_ref().is_some_and(|own| own.tells_apart(before, now))
    }
}

/// Sum of the pickups' magnitudes.
fn norm(responses: &Responses, point: usize) -> f64 {
    (0..responses.pickups()).map(|i| responses.at(i, point).norm()).sum()
}

/// Whether two sets of responses differ by one factor per frequency, common to all pickups. Then the strings' shares
/// cancel, and the conversion is exact.
fn in_proportion(option: &Responses, recorded: &Responses) -> bool {
    (0..Grid::POINTS).all(|point| {
        let scale = norm(option, point) * norm(recorded, point);
        (0..option.pickups()).all(|i| {
            (0..i).all(|j| {
                let cross = option.at(i, point) * recorded.at(j, point) - option.at(j, point) * recorded.at(i, point);
                cross.norm() <= SAME * scale
            })
        })
    })
}
