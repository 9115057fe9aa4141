//! What a knob makes of a position.

use super::figures::{Figures, Surveyor};
use crate::circuit::{CircuitError, Controls};
use crate::find::{Effect, read_row};

/// A position with one knob turned down.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// Index of the knob.
    pub knob: usize,
    /// The figures with that knob on 0 and everything else as it stood; the level is against position 1 as it stood.
    pub figures: Figures,
}

impl Surveyor {
    /// Every selector position with each knob that does something there, other than turning it all down, on 0, one at a time. Knobs
    /// that stand on 0 already are left out.
    ///
    /// # Errors
    /// As [`Surveyor::figures`].
    pub fn turned(&mut self, controls: &Controls) -> Result<Vec<Turned>, CircuitError> {
        let standing = self.standing(controls);
        let reference = self.loudness(&standing[0]);
        let mut all = Vec::new();
        for controls in standing {
            let row = read_row(&self.assembly, &controls);
            for (knob, effect) in row.knobs.iter().enumerate() {
                let idle = matches!(effect, Effect::Nothing | Effect::Volume);
                if idle || self.assembly.controls.knobs[knob].is_none() || controls.knobs[knob] == 0.0 {
                    continue;
                }
                let mut turned = controls;
                turned.knobs[knob] = 0.0;
                all.push(Turned { knob, figures: self.figures_against(&turned, reference)? });
            }
        }
        Ok(all)
    }
}
