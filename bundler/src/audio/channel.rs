//! Which channel of a recording is the guitar.

use std::fmt;
use std::num::NonZeroUsize;
use std::str::FromStr;

/// The player's choice of channel, as `--channel` spells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Channel {
    /// The first channel.
    Left,
    /// The second channel.
    Right,
    /// The mean of all channels.
    Mix,
    /// A channel by its number, the first being 1.
    Number(NonZeroUsize),
}

impl Channel {
    /// The channel's place in a list, from 0; `None` for the mix.
    pub(super) fn index(self) -> Option<usize> {
        match self {
            Self::Left => Some(0),
            Self::Right => Some(1),
            Self::Mix => None,
            Self::Number(number) => Some(number.get() - 1),
        }
    }
}

/// A word that names no channel.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{word}` names no channel; say left, right, mix or a channel's number, the first being 1")]
pub struct UnknownChannel {
    /// The word as it was given.
    pub word: String,
}

impl FromStr for Channel {
    type Err = UnknownChannel;

    fn from_str(word: &str) -> Result<Self, UnknownChannel> {
        match word.trim().to_ascii_lowercase().as_str() {
            "left" => Ok(Self::Left),
            "right" => Ok(Self::Right),
            "mix" => Ok(Self::Mix),
            other => other.parse().map(Self::Number).map_err(|_| UnknownChannel { word: word.to_owned() }),
        }
    }
}

/// Writes the word that [`FromStr`] reads.
impl fmt::Display for Channel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Left => f.write_str("left"),
            Self::Right => f.write_str("right"),
            Self::Mix => f.write_str("mix"),
            Self::Number(number) => write!(f, "{number}"),
        }
    }
}
