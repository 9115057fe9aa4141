//! Pickups joined in series and in parallel, whatever they are called by.

use serde::Serialize;

/// A net of pickups between two ends. No series stands directly in a series and no parallel in a parallel, as long as it is made
/// by [`Mix::then`] and [`Mix::beside`].
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub enum Mix<P> {
    /// One pickup.
    Pickup {
        /// Which one.
        pickup: P,
        /// Whether its hot lead is on the ground side.
        reversed: bool,
    },
    /// In series, from the hot end down.
    Series(Vec<Mix<P>>),
    /// In parallel.
    Parallel(Vec<Mix<P>>),
}

impl<P> Mix<P> {
    /// This one above the other, in series.
    #[must_use]
    pub fn then(self, other: Self) -> Self {
        let inner = |mix| if let Self::Series(parts) = mix { parts } else { vec![mix] };
        Self::Series([self, other].into_iter().flat_map(inner).collect())
    }

    /// Both in parallel.
    #[must_use]
    pub fn beside(self, other: Self) -> Self {
        let inner = |mix| if let Self::Parallel(parts) = mix { parts } else { vec![mix] };
        Self::Parallel([self, other].into_iter().flat_map(inner).collect())
    }

    /// The same with its ends swapped.
    #[must_use]
    pub fn turned(self) -> Self {
        match self {
            Self::Pickup { pickup, reversed } => Self::Pickup { pickup, reversed: !reversed },
            Self::Series(parts) => Self::Series(parts.into_iter().rev().map(Self::turned).collect()),
            Self::Parallel(parts) => Self::Parallel(parts.into_iter().map(Self::turned).collect()),
        }
    }

    /// Every pickup in it, and whether it is reversed, in the order in which they stand.
    pub fn voices(&self) -> Vec<(&P, bool)> {
        match self {
            Self::Pickup { pickup, reversed } => vec![(pickup, *reversed)],
            Self::Series(parts) | Self::Parallel(parts) => parts.iter().flat_map(Self::voices).collect(),
        }
    }

    /// The same with other names.
    ///
    /// # Errors
    /// The first that `name` has.
    pub fn renamed<Q, E>(&self, name: &impl Fn(&P) -> Result<Q, E>) -> Result<Mix<Q>, E> {
        let all = |parts: &[Self]| parts.iter().map(|part| part.renamed(name)).collect::<Result<_, _>>();
        Ok(match self {
            Self::Pickup { pickup, reversed } => Mix::Pickup { pickup: name(pickup)?, reversed: *reversed },
            Self::Series(parts) => Mix::Series(all(parts)?),
            Self::Parallel(parts) => Mix::Parallel(all(parts)?),
        })
    }

    /// In the words of a sounds table. What is in series goes before what is in parallel; where it is the other way round, there
    /// are brackets.
    pub fn words(&self, name: &impl Fn(&P) -> String) -> String {
        let all = |parts: &[Self], between| parts.iter().map(|part| part.words(name)).collect::<Vec<_>>().join(between);
        match self {
            Self::Pickup { pickup, reversed } => {
                format!("{}{}", if *reversed { "reversed " } else { "" }, name(pickup))
            }
            Self::Parallel(parts) => all(parts, " + "),
            Self::Series(parts) => {
                let bracketed = |part: &Self| match part {
                    Self::Parallel(_) => format!("({})", part.words(name)),
                    _ => part.words(name),
                };
                parts.iter().map(bracketed).collect::<Vec<_>>().join(" in series with ")
            }
        }
    }
}

impl<P: Ord> Mix<P> {
    /// The same in a fixed order: nets that sound the same are equal then, because the order makes no sound.
    #[must_use]
    pub fn sorted(self) -> Self {
        let all = |parts: Vec<Self>| {
            let mut parts: Vec<Self> = parts.into_iter().map(Self::sorted).collect();
            parts.sort();
            parts
        };
        match self {
            Self::Series(parts) => Self::Series(all(parts)),
            Self::Parallel(parts) => Self::Parallel(all(parts)),
            pickup => pickup,
        }
    }
}
