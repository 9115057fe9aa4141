//! How far a synthesised take departs from the ideal string.

/// Departures from the ideal plucked string. Sizes are those of the reference study (place/lib.py and place/t14.py), where
/// they are estimates without a source of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct Realism {
    /// Where a string is plucked when the note does not say, in metres from the bridge: from, to.
    pub pluck: (f64, f64),
    /// Width of the pick or fingertip, in metres.
    pub pluck_width: f64,
    /// Standard deviation of a note's level, in dB.
    pub level_spread_db: f64,
    /// Standard deviation of a note's tuning, in cents.
    pub detune_cents: f64,
    /// How far a note starts above its pitch, in cents: from, to.
    pub glide_cents: (f64, f64),
    /// Time in which that falls to 1/e, in seconds.
    pub glide_time: f64,
    /// Standard deviation of each partial's level, in nepers.
    pub partial_spread: f64,
    /// Standard deviation of each partial's decay, in nepers.
    pub decay_spread: f64,
    /// Level of the string's second polarisation relative to the first; 0 for none.
    pub second_polarisation: f64,
    /// How far the second polarisation lies above the first, in cents: from, to.
    pub polarisation_cents: (f64, f64),
    /// How much faster the second polarisation decays, in nepers per second.
    pub polarisation_decay: f64,
    /// Standard deviation of the noise of the pick at its loudest, relative to a note's level (the signal of an ideal
    /// string peaks at pi / 4 of it).
    pub pick_noise: f64,
    /// Second-order distortion of each pickup, relative to its peak: y + share y^2 / peak; 0 for none.
    pub nonlinearity: f64,
    /// Whether each pickup's nulls are filled as its document says, by power of no fixed phase, or infinitely deep.
    pub filled_nulls: bool,
}

impl Realism {
    /// The ideal string plucked at one place, each note as the other.
    pub fn ideal() -> Self {
        Self {
            pluck: (0.13, 0.13),
            pluck_width: 0.0,
            level_spread_db: 0.0,
            detune_cents: 0.0,
            glide_cents: (0.0, 0.0),
            glide_time: 0.15,
            partial_spread: 0.0,
            decay_spread: 0.0,
            second_polarisation: 0.0,
            polarisation_cents: (0.0, 0.0),
            polarisation_decay: 0.0,
            pick_noise: 0.0,
            nonlinearity: 0.0,
            filled_nulls: false,
        }
    }

    /// As the reference study's takes were played, on which the figures of the design page rest. Distortion and filled
    /// nulls are off: the study adds the one (0.02) to the source only and has not got the other.
    pub fn played() -> Self {
        Self {
            pluck: (0.08, 0.20),
            pluck_width: 0.004,
            level_spread_db: 2.0,
            detune_cents: 3.0,
            glide_cents: (2.0, 8.0),
            partial_spread: 0.06,
            decay_spread: 0.2,
            second_polarisation: 0.4,
            polarisation_cents: (0.4, 1.2),
            polarisation_decay: 1.0,
            // The study's 0.01 is relative to the peak.
            pick_noise: 0.008,
            ..Self::ideal()
        }
    }
}

impl Default for Realism {
    fn default() -> Self {
        Self::played()
    }
}
