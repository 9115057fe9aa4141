//! What the engine asks for while it runs.

use super::Controls;

/// A target magnitude that follows the controls.
pub trait Target: Send {
    /// Writes ln|G| for these controls, one value per point of the grid it was made for.
    ///
    /// Runs on the audio thread: neither allocates nor locks nor waits.
    ///
    /// # Panics
    /// When `log_gain` is not [`super::Grid::POINTS`] long.
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]);
}
