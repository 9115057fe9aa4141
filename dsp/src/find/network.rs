//! What a net of pickups between the jack's tip and ground comes to, by joining in series and in parallel.

use crate::document::{Mix, Sound};

/// A net of pickups, by their indices in the guitar.
pub type Network = Mix<usize>;

/// A net between nodes `top` and `bottom`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Edge {
    pub top: usize,
    pub bottom: usize,
    pub network: Network,
}

/// What sounds, in the words of a sounds table.
pub(super) fn sound(network: Option<&Network>, names: &[String]) -> Sound {
    let name = |&pickup: &usize| Ok::<_, std::convert::Infallible>(names[pickup].clone());
    let mix = network.map(|network| network.renamed(&name).unwrap_or_else(|never| match never {}));
    Sound { mix }
}

/// The net that a sound of a table is, sorted; none for silence.
///
/// # Errors
/// The name of a pickup that is not among `names`.
pub(super) fn of_sound(sound: &Sound, names: &[String]) -> Result<Option<Network>, String> {
    let index = |name: &String| names.iter().position(|known| known == name).ok_or_else(|| name.clone());
    sound.mix.as_ref().map(|mix| mix.renamed(&index).map(Mix::sorted)).transpose()
}

/// Reduces edges to the one net between `tip` and `ground`, sorted: what hangs, is shorted or leads nowhere falls away.
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
            [edge] if (edge.top, edge.bottom) == (tip, ground) => Ok(Some(edge.network.clone().sorted())),
            [edge] if (edge.top, edge.bottom) == (ground, tip) => Ok(Some(edge.network.clone().turned().sorted())),
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
