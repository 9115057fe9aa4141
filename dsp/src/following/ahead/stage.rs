//! What is done for a hop, in which order, and what it costs.

use super::Ahead;

/// What is done next for the newest hop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Stage {
    Idle,
    Search,
    Look,
    Begin,
    Round { left: usize },
    Attend,
    Listen,
    Score { left: usize },
    Keep,
    Prepare,
    Draw,
    Fit { left: usize },
    Finish,
}

impl Stage {
    /// What usually comes after it, with so many pitches to be scored.
    pub(super) fn next(self, pitches: usize) -> Self {
        match self {
            Self::Search => Self::Look,
            Self::Look => Self::Begin,
            Self::Begin => Self::Round { left: Ahead::ROUNDS },
            Self::Round { left } if left > 1 => Self::Round { left: left - 1 },
            Self::Round { .. } => Self::Attend,
            Self::Attend => Self::Listen,
            Self::Listen if pitches > 0 => Self::Score { left: pitches },
            Self::Score { left } if left > 1 => Self::Score { left: left - 1 },
            Self::Listen | Self::Score { .. } => Self::Keep,
            Self::Keep => Self::Prepare,
            Self::Prepare => Self::Draw,
            Self::Draw => Self::Fit { left: Ahead::FITS },
            Self::Fit { left } if left > 1 => Self::Fit { left: left - 1 },
            Self::Fit { .. } => Self::Finish,
            Self::Finish | Self::Idle => Self::Idle,
        }
    }

    /// What it costs on chords, in microseconds; only proportions count.
    pub(super) fn cost(self) -> usize {
        match self {
            Self::Idle | Self::Keep | Self::Finish => 2,
            Self::Search => 20,
            Self::Look => 30,
            Self::Begin => 15,
            Self::Round { .. } => 15,
            Self::Attend => 60,
            Self::Listen => 30,
            Self::Score { .. } => 30,
            Self::Prepare => 15,
            Self::Draw => 10,
            Self::Fit { .. } => 15,
        }
    }

    /// What it costs with all that usually comes after it.
    pub(super) fn left(self, pitches: usize) -> usize {
        let after = |stage: &Self| Some(stage.next(pitches)).filter(|next| *next != Self::Idle);
        std::iter::successors(Some(self), after).map(Self::cost).sum()
    }
}
