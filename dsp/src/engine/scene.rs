//! What the engine is asked for.

use crate::conversion::Controls;

/// What is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Listen {
    /// The take as it is.
    #[default]
    Dry,
    /// Bench A.
    A,
    /// Bench B.
    B,
}

impl Listen {
    /// The place of the bench that is meant; none for dry.
    pub(super) fn bench(self) -> Option<usize> {
        match self {
            Self::Dry => None,
            Self::A => Some(0),
            Self::B => Some(1),
        }
    }
}

/// Everything that may change while it plays. A plain value; the engine reads it at the next boundary of the control
/// grid only.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Scene {
    /// Where the player has the controls; both benches follow them.
    pub controls: Controls,
    /// What is heard. A bench that does not exist sounds as dry.
    pub listen: Listen,
    /// Whether A and B are brought to the loudness of dry.
    pub loudness_match: bool,
    /// Whether the notes are followed, where the engine has a follower and a target can make use of it.
    pub follow: bool,
    /// Gain of whatever is heard, in dB; minus infinity is silence, a NaN changes nothing.
    pub output_db: f64,
}
