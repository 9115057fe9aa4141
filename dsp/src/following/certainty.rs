//! Whether what is heard is a guitar.

/// Shares of noise up to which all is taken for strings, and from which on nothing is. Notes as they are struck reach 0.4 to 0.5 for a
/// moment and are at 0.1 otherwise, a band is at 0.5, noise at 0.9. How far a spectrum is from its estimate does not tell: a band
/// is explained as well as a guitar, and a real guitar that is another than documented worse than either.
const GUITAR: f32 = 0.3;
const NO_GUITAR: f32 = 0.7;

/// How far a frame is to be trusted, 0 to 1, by the share of the templates of noise in it: what they explain is on no string, and no
/// place on a string tells anything about it.
pub(super) fn certainty(noise: f32) -> f32 {
    ((NO_GUITAR - noise) / (NO_GUITAR - GUITAR)).clamp(0.0, 1.0)
}
