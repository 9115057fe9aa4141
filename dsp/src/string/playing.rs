//! What the strings do at one moment, as far as it is known.

/// Power per string on an even lattice of frequencies, and how far each string is stretched. What following a take finds
/// out, and what a conversion needs of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Playing {
    strings: usize,
    points: usize,
    power: Vec<f32>,
    stretch: Vec<f32>,
    /// How far this can be trusted, from 0 (as good as nothing is known) to 1.
    pub confidence: f32,
}

impl Playing {
    /// Nothing known: no power, no stretch, no confidence. `points` frequencies for each of `strings` strings.
    pub fn unknown(strings: usize, points: usize) -> Self {
        Self { strings, points, power: vec![0.0; strings * points], stretch: vec![1.0; strings], confidence: 0.0 }
    }

    /// How many strings there are.
    pub fn strings(&self) -> usize {
        self.strings
    }

    /// How many frequencies there are.
    pub fn points(&self) -> usize {
        self.points
    }

    /// Power of a string, one value per frequency, before any pickup; relative between strings and frequencies.
    ///
    /// # Panics
    /// When there is no such string.
    pub fn power(&self, string: usize) -> &[f32] {
        &self.power[string * self.points..][..self.points]
    }

    /// The same, to be written.
    ///
    /// # Panics
    /// When there is no such string.
    pub fn power_mut(&mut self, string: usize) -> &mut [f32] {
        &mut self.power[string * self.points..][..self.points]
    }

    /// Pitch of the string over what its document says, one ratio per string: above 1 where it is bent or tuned sharp. A
    /// wave of frequency f on it is as long as one of f / stretch on the string as documented.
    pub fn stretch(&self) -> &[f32] {
        &self.stretch
    }

    /// The same, to be written.
    pub fn stretch_mut(&mut self) -> &mut [f32] {
        &mut self.stretch
    }

    /// Becomes a copy of another of the same size, without allocating.
    ///
    /// # Panics
    /// When the sizes differ.
    pub fn copy_from(&mut self, other: &Self) {
        self.power.copy_from_slice(&other.power);
        self.stretch.copy_from_slice(&other.stretch);
        self.confidence = other.confidence;
    }
}
