//! Whether what is heard is a guitar.

/// Shares of noise up to which all is taken for strings, and from which on nothing is. Notes as they are struck reach 0.4 to 0.5 for a
/// moment and are at 0.1 otherwise, a band is at 0.5, noise at 0.9. How far a spectrum is from its estimate does not tell: a band
/// is explained as well as a guitar, and a real guitar that is another than documented worse than either.
const GUITAR: f32 = 0.3;
const NO_GUITAR: f32 = 0.7;

/// How far a frame is to be trusted, 0 to 1, by the share of the templates of noise in it: what they explain is on no string, and no
/// place on a string tells anything about it.
pub(super) fn certainty(noise: f32) -> f32 {
    between(noise, GUITAR, NO_GUITAR)
}

/// The share of noise in what was heard of late, in fits by notes at their own pitch. What is loud counts more, so that neither a rest
/// nor a string as it is struck is taken for something else than a guitar.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Noise {
    noise: f32,
    all: f32,
}

impl Noise {
    /// Share of the newest hop: two seconds count, so that chords may fade into the noise of their recording.
    const NEWEST: f32 = 0.005;
    /// As for single frames; the eight takes of which the truth is known reach 0.24, a band is above 0.36.
    const GUITAR: f32 = 0.25;
    const NO_GUITAR: f32 = 0.5;

    /// Takes the share of noise in a hop, and its level.
    pub(super) fn hear(&mut self, share: f32, level: f32) {
        self.noise += Self::NEWEST * (share * level - self.noise);
        self.all += Self::NEWEST * (level - self.all);
    }

    /// What was heard before a hop with what was heard after it.
    pub(super) fn with(self, later: Self) -> Self {
        Self { noise: self.noise + later.noise, all: self.all + later.all }
    }

    /// How far all is to be trusted, 0 to 1.
    pub(super) fn certainty(self) -> f32 {
        between(self.noise / self.all.max(f32::MIN_POSITIVE), Self::GUITAR, Self::NO_GUITAR)
    }
}

/// From 1 where the share of noise is that of a guitar to 0 where it is that of none.
fn between(share: f32, guitar: f32, no_guitar: f32) -> f32 {
    ((no_guitar - share) / (no_guitar - guitar)).clamp(0.0, 1.0)
}
