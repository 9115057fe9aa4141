//! What a bench asks of the engine: its own conversion, or one of those with another value of the part in the tray.

use dryfit_dsp::circuit::Responses;
use dryfit_dsp::conversion::{Assessment, Controls, Conversion, Grid, Target};
use dryfit_dsp::string::Playing;

/// A bench's target. [`Controls::step`] chooses: 0 is the bench as it stands, n the nth value of the tray (beyond the
/// last: the last).
#[derive(Debug, Clone)]
pub struct OptionTarget(Box<Choice>);

/// What is tried on a bench.
#[derive(Debug, Clone)]
pub enum Trial {
    /// Nothing.
    Nothing,
    /// A conversion for each value of a part.
    Parts(Vec<Conversion>),
    /// Cables, in farads.
    Cables(Vec<f64>),
    /// Inputs, in ohms.
    Inputs(Vec<f64>),
}

#[derive(Debug, Clone)]
struct Choice {
    own: Conversion,
    trial: Trial,
}

impl OptionTarget {
    /// A bench's own conversion, and what is tried on it.
    pub fn new(own: Conversion, trial: Trial) -> Self {
        Self(Box::new(Choice { own, trial }))
    }

    /// How far it can be trusted where the controls stand.
    pub fn assess(&mut self, controls: &Controls) -> Assessment {
        let (conversion, controls) = self.choose(controls);
        conversion.assess(&controls)
    }

    /// The responses of the circuit that sounds where the controls stand, at the points of [`OptionTarget::grid`].
    pub fn responses(&mut self, controls: &Controls) -> &Responses {
        let (conversion, controls) = self.choose(controls);
        conversion.responses(&controls)
    }

    /// The grid it was compiled for.
    pub fn grid(&self) -> &Grid {
        self.0.own.grid()
    }

    /// The controls as the circuit sees them: with the cable or the input that is on trial.
    pub fn seen(&mut self, controls: &Controls) -> Controls {
        self.choose(controls).1
    }

    /// The conversion that the step chooses, and the controls it sees.
    fn choose(&mut self, controls: &Controls) -> (&mut Conversion, Controls) {
        let mut seen = Controls { step: 0, ..*controls };
        let Choice { own, trial } = &mut *self.0;
        let Some(place) = usize::from(controls.step).checked_sub(1) else { return (own, seen) };
        match trial {
            Trial::Nothing => {}
            Trial::Parts(tried) => {
                let last = tried.len().saturating_sub(1);
                if let Some(conversion) = tried.get_mut(place.min(last)) {
                    return (conversion, seen);
                }
            }
            Trial::Cables(cables) => seen.load.cable = nth(cables, place).unwrap_or(seen.load.cable),
            Trial::Inputs(inputs) => seen.load.input = nth(inputs, place).unwrap_or(seen.load.input),
        }
        (own, seen)
    }
}

impl Target for OptionTarget {
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]) {
        let (conversion, controls) = self.choose(controls);
        conversion.write(&controls, log_gain);
    }

    fn follows(&mut self, controls: &Controls) -> bool {
        let (conversion, controls) = self.choose(controls);
        conversion.follows(&controls)
    }

    fn write_detail(&mut self, controls: &Controls, playing: &Playing, detail: &mut [f32]) {
        let (conversion, controls) = self.choose(controls);
        conversion.write_detail(&controls, playing, detail);
    }

    fn tells_apart(&mut self, controls: &Controls, before: &[f32], now: &[f32]) -> bool {
        let (conversion, controls) = self.choose(controls);
        conversion.tells_apart(&controls, before, now)
    }
}

fn nth(values: &[f64], place: usize) -> Option<f64> {
    values.get(place).or(values.last()).copied()
}
