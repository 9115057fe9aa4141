//! What the engine asks for while it runs.

use super::Controls;
use crate::string::Playing;

/// A target magnitude that follows the controls.
pub trait Target: Send {
    /// Writes ln|G| for these controls, one value per point of the grid it was made for.
    ///
    /// Runs on the audio thread: neither allocates nor locks nor waits.
    ///
    /// # Panics
    /// When `log_gain` is not [`super::Grid::POINTS`] long.
    fn write(&mut self, controls: &Controls, log_gain: &mut [f64]);

    /// Whether it would be another under these controls if it were known what the strings do. Costs next to nothing when
    /// asked again about the same controls.
    fn follows(&mut self, controls: &Controls) -> bool {
        let _ = controls;
        false
    }

    /// Writes what is to be added to ln|G| while the strings do this, one value per frequency of `playing`; asked for only
    /// where [`Target::follows`].
    ///
    /// Runs on the audio thread as [`Target::write`] does.
    fn write_detail(&mut self, controls: &Controls, playing: &Playing, detail: &mut [f32]) {
        let _ = (controls, playing);
        detail.fill(0.0);
    }

    /// Whether going from one detail to another would be heard, with the strings doing what they did when a detail was last
    /// written, under the same controls. While it would not, nobody has to.
    ///
    /// Runs on the audio thread as [`Target::write`] does. A target that hands [`Target::write_detail`] on hands this on, too.
    fn tells_apart(&mut self, controls: &Controls, before: &[f32], now: &[f32]) -> bool {
        let _ = controls;
        before != now
    }
}
