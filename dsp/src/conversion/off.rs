//! How far estimated conversions are off. Whoever tells a person tells these.

/// How far a conversion is off where another pickup sounds than was recorded, in dB rms over third octaves and moments: the
/// mean over seven changes of pickup. `tests/tests/ground_truth.rs` measures it and holds these to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// On single lines.
    pub lines_db: f64,
    /// On chords.
    pub chords_db: f64,
}

impl Off {
    /// The best static filter.
    pub const STATIC: Self = Self { lines_db: 7.0, chords_db: 4.5 };
    /// Notes followed as the take plays.
    pub const LIVE: Self = Self { lines_db: 2.0, chords_db: 2.5 };
    /// Notes followed as the take plays, looking ahead of what is heard.
    pub const AHEAD: Self = Self { lines_db: 2.0, chords_db: 2.0 };
    /// Notes followed with the whole take known.
    pub const WHOLE: Self = Self { lines_db: 1.5, chords_db: 2.0 };
}
