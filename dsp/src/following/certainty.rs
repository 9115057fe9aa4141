//! Whether what is heard is a guitar.

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
    /// Shares up to which all is taken for strings, and from which on nothing is: the eight takes of which the truth is known reach
    /// 0.24, a band is above 0.36. How far a spectrum is from its estimate does not tell: a band is explained as well as a guitar,
    /// and a real guitar that is another than documented worse than either.
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

    /// How far all is to be trusted, 0 to 1: what templates of noise explain is on no string, and no place on a string tells anything
    /// about it.
    pub(super) fn certainty(self) -> f32 {
        let share = self.noise / self.all.max(f32::MIN_POSITIVE);
        ((Self::NO_GUITAR - share) / (Self::NO_GUITAR - Self::GUITAR)).clamp(0.0, 1.0)
    }
}
