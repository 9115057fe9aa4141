//! What a net of pickups between the jack's tip and ground comes to, by joining in series and in parallel.

use std::fmt::Write as _;

use crate::document::{Sound, Voice};

/// A net of pickups between two ends, in a normal form: equal nets are equal values.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Network {
    /// One pickup, by index.
    Pickup {
        /// Index in the guitar.
        pickup: usize,
        /// Whether its hot lead is on the ground side.
        reversed: bool,
    },
    /// In series; sorted, because the order makes no sound.
    Series(Vec<Network>),
    /// In parallel, sorted.
    Parallel(Vec<Network>),
}

/// A net between nodes `top` and `bottom`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Edge {
    pub top: usize,
    pub bottom: usize,
    pub network: Network,
}

impl Network {
    /// The same with its ends swapped.
    fn turned(self) -> Self {
        match self {
            Self::Pickup { pickup, reversed } => Self::Pickup { pickup, reversed: !reversed },
            Self::Series(parts) => Self::Series(sorted(parts.into_iter().map(Self::turned).collect())),
            Self::Parallel(parts) => Self::Parallel(sorted(parts.into_iter().map(Self::turned).collect())),
        }
    }

    /// Both in series.
    fn then(self, other: Self) -> Self {
        let mut parts = Vec::new();
        for part in [self, other] {
            if let Self::Series(inner) = part { parts.extend(inner) } else { parts.push(part) }
        }
        Self::Series(sorted(parts))
    }

    /// Both in parallel.
    pub(super) fn beside(self, other: Self) -> Self {
        let mut parts = Vec::new();
        for part in [self, other] {
            if let Self::Parallel(inner) = part { parts.extend(inner) } else { parts.push(part) }
        }
        Self::Parallel(sorted(parts))
    }

    /// Every pickup in it, ascending.
    pub fn pickups(&self) -> Vec<usize> {
        let mut found = Vec::new();
        self.collect(&mut found);
        found.sort_unstable();
        found
    }

    fn collect(&self, found: &mut Vec<usize>) {
        match self {
            Self::Pickup { pickup, .. } => found.push(*pickup),
            Self::Series(parts) | Self::Parallel(parts) => parts.iter().for_each(|part| part.collect(found)),
        }
    }

    /// The same as a sound of a table, which knows chains in parallel; none for nets that go deeper.
    pub fn sound(&self, names: &[String]) -> Option<Sound> {
        let voice = |part: &Self| match part {
            &Self::Pickup { pickup, reversed } => Some(Voice { pickup: names[pickup].clone(), reversed }),
            _ => None,
        };
        let chain = |part: &Self| match part {
            Self::Series(parts) => parts.iter().map(voice).collect::<Option<Vec<_>>>(),
            other => voice(other).map(|voice| vec![voice]),
        };
        let parallel = match self {
            Self::Parallel(parts) => parts.iter().map(chain).collect::<Option<Vec<_>>>()?,
            other => vec![chain(other)?],
        };
        Some(Sound { parallel })
    }

    /// In the words of a sounds table, with brackets where it goes deeper.
    pub fn words(&self, names: &[String]) -> String {
        match self {
            Self::Pickup { pickup, reversed } => {
                format!("{}{}", if *reversed { "reversed " } else { "" }, names[*pickup])
            }
            Self::Parallel(parts) => parts.iter().map(|part| part.words(names)).collect::<Vec<_>>().join(" + "),
            Self::Series(parts) => {
                let mut words = String::new();
                for (i, part) in parts.iter().enumerate() {
                    words.push_str(if i > 0 { " in series with " } else { "" });
                    let inner = part.words(names);
                    let bracket = matches!(part, Self::Parallel(_));
                    let _ = if bracket { write!(words, "({inner})") } else { write!(words, "{inner}") };
                }
                words
            }
        }
    }
}

impl Network {
    /// The net that a sound of a table is; none for silence.
    ///
    /// # Errors
    /// The name of a pickup that is not among `names`.
    pub fn of_sound(sound: &Sound, names: &[String]) -> Result<Option<Self>, String> {
        let voice = |voice: &Voice| {
            let pickup = names.iter().position(|name| *name == voice.pickup).ok_or_else(|| voice.pickup.clone())?;
            Ok::<_, String>(Self::Pickup { pickup, reversed: voice.reversed })
        };
        let mut all: Option<Self> = None;
        for chain in &sound.parallel {
            let mut whole: Option<Self> = None;
            for one in chain {
                let one = voice(one)?;
                whole = Some(if let Some(before) = whole { before.then(one) } else { one });
            }
            if let Some(whole) = whole {
                all = Some(if let Some(before) = all { before.beside(whole) } else { whole });
            }
        }
        Ok(all)
    }
}

/// Reduces edges to the one net between `tip` and `ground`: what hangs, is shorted or leads nowhere falls away.
///
/// # Errors
/// When the net is no mere combination of series and parallel (a bridge).
pub(super) fn reduce(mut edges: Vec<Edge>, tip: usize, ground: usize) -> Result<Option<Network>, Bridge> {
    if tip == ground {
        return Ok(None);
    }
    loop {
        edges.retain(|edge| edge.top != edge.bottom);
        if drop_hanging(&mut edges, tip, ground) || merge_parallel(&mut edges) || merge_series(&mut edges, tip, ground)
        {
            continue;
        }
        return match &edges[..] {
            [] => Ok(None),
            [edge] if (edge.top, edge.bottom) == (tip, ground) => Ok(Some(edge.network.clone())),
            [edge] if (edge.top, edge.bottom) == (ground, tip) => Ok(Some(edge.network.clone().turned())),
            _ => Err(Bridge),
        };
    }
}

/// A net that is no mere combination of series and parallel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Bridge;

fn degree(edges: &[Edge], node: usize) -> usize {
    edges.iter().map(|edge| usize::from(edge.top == node) + usize::from(edge.bottom == node)).sum()
}

fn drop_hanging(edges: &mut Vec<Edge>, tip: usize, ground: usize) -> bool {
    let before = edges.len();
    let all = edges.clone();
    let hangs = |node: usize| node != tip && node != ground && degree(&all, node) == 1;
    edges.retain(|edge| !hangs(edge.top) && !hangs(edge.bottom));
    edges.len() < before
}

fn merge_parallel(edges: &mut Vec<Edge>) -> bool {
    for i in 0..edges.len() {
        for j in i + 1..edges.len() {
            let (top, bottom) = (edges[i].top, edges[i].bottom);
            let other = &edges[j];
            let along = (other.top, other.bottom) == (top, bottom);
            if along || (other.top, other.bottom) == (bottom, top) {
                let other = edges.remove(j).network;
                let other = if along { other } else { other.turned() };
                edges[i].network = edges[i].network.clone().beside(other);
                return true;
            }
        }
    }
    false
}

fn merge_series(edges: &mut Vec<Edge>, tip: usize, ground: usize) -> bool {
    for i in 0..edges.len() {
        for j in i + 1..edges.len() {
            let shared = [edges[i].top, edges[i].bottom]
                .into_iter()
                .find(|&node| node == edges[j].top || node == edges[j].bottom);
            let Some(node) = shared.filter(|&node| node != tip && node != ground && degree(edges, node) == 2) else {
                continue;
            };
            let second = ending_above(edges.remove(j), node);
            let first = ending_above(edges.remove(i), node);
            let network = first.network.then(second.network.turned());
            edges.push(Edge { top: first.top, bottom: second.top, network });
            return true;
        }
    }
    false
}

/// The same edge with `node` at its bottom.
fn ending_above(edge: Edge, node: usize) -> Edge {
    if edge.bottom == node {
        return edge;
    }
    Edge { top: edge.bottom, bottom: edge.top, network: edge.network.turned() }
}

fn sorted(mut parts: Vec<Network>) -> Vec<Network> {
    parts.sort();
    parts
}
