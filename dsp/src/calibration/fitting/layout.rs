//! Which parameter stands where.

/// Sizes of a fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::calibration) struct Layout {
    pub(in crate::calibration) pickups: usize,
    pub(in crate::calibration) strings: usize,
    pub(in crate::calibration) passes: usize,
    pub(in crate::calibration) notes: usize,
}

/// Knots of a voicing and their frequencies, in hertz: seven, evenly spaced in octaves from 80 Hz to 5 kHz.
pub(in crate::calibration) const KNOTS: [f64; 7] = [80.0, 160.0, 320.0, 630.0, 1260.0, 2500.0, 5000.0];
/// Knots of what a string radiates, in hertz.
pub(super) const CURVE: [f64; 6] = [80.0, 200.0, 500.0, 1250.0, 3000.0, 6500.0];

/// Places of a pickup's parameters: mean of its outer distances and their difference (high less low), sensing width, all in
/// millimetres; depth of its nulls in dB; then level and voicing at the knots in dB.
pub(in crate::calibration) const MIDDLE: usize = 0;
pub(in crate::calibration) const SLANT: usize = 1;
pub(in crate::calibration) const WIDTH: usize = 2;
pub(in crate::calibration) const DEPTH: usize = 3;
pub(in crate::calibration) const VOICE: usize = 4;
pub(super) const PER_PICKUP: usize = VOICE + KNOTS.len();

/// Places of a note's parameters: level in dB, place of the pluck in millimetres, tilt in dB per octave.
pub(super) const LEVEL: usize = 0;
pub(super) const PLUCK: usize = 1;
pub(super) const TILT: usize = 2;
const PER_NOTE: usize = 3;

impl Layout {
    /// First parameter of a pickup.
    pub(in crate::calibration) fn pickup(&self, pickup: usize) -> usize {
        pickup * PER_PICKUP
    }

    /// First parameter of what a string radiates.
    pub(super) fn curve(&self, string: usize) -> usize {
        self.pickups * PER_PICKUP + string * CURVE.len()
    }

    /// How much louder a pass was played than others, in dB.
    pub(super) fn pass(&self, pass: usize) -> usize {
        self.curve(self.strings) + pass
    }

    /// First parameter of a note.
    pub(super) fn note(&self, note: usize) -> usize {
        self.pass(self.passes) + note * PER_NOTE
    }

    /// How many parameters there are.
    pub(super) fn count(&self) -> usize {
        self.note(self.notes)
    }
}
