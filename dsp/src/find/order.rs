//! In which order nets in series hang one above the other.

use super::network::Network;
use super::search::permutations;

/// The parts of every net in series, sorted and as they are strung from the hot end down.
pub(super) type Order = [(Vec<Network>, Vec<Network>)];

/// Every way to string everything that stands in series in some nets; equal parts are strung alike everywhere.
pub(super) fn orders<'a>(networks: impl Iterator<Item = &'a Network>) -> Vec<Vec<(Vec<Network>, Vec<Network>)>> {
    let mut chains: Vec<&[Network]> = Vec::new();
    networks.for_each(|network| collect(network, &mut chains));
    let mut orders = vec![Vec::new()];
    for chain in chains {
        let strung = |order: &Vec<usize>| order.iter().map(|&i| chain[i].clone()).collect::<Vec<_>>();
        let possible: Vec<Vec<Network>> = permutations(chain.len()).iter().map(strung).collect();
        let extend = |known: &Vec<(Vec<Network>, Vec<Network>)>| {
            let with = |order: &Vec<Network>| [&known[..], &[(chain.to_vec(), order.clone())]].concat();
            possible.iter().map(with).collect::<Vec<_>>()
        };
        orders = orders.iter().flat_map(extend).collect();
    }
    orders
}

/// What stands in series anywhere in a net, each once.
fn collect<'a>(network: &'a Network, chains: &mut Vec<&'a [Network]>) {
    let parts = match network {
        Network::Pickup { .. } => return,
        Network::Parallel(parts) => parts,
        Network::Series(parts) => {
            if !chains.contains(&&parts[..]) {
                chains.push(parts);
            }
            parts
        }
    };
    parts.iter().for_each(|part| collect(part, chains));
}

/// Calls for every pickup of a net, with whether it is reversed and the joints above and below it: 0 is the hot one, 1 ground,
/// others are numbered from 2 on.
pub(super) fn hang(network: &Network, orders: &Order, each: &mut impl FnMut(usize, bool, usize, usize)) {
    hang_between(network, orders, (0, 1), &mut 2, each);
}

fn hang_between(
    network: &Network,
    orders: &Order,
    (top, bottom): (usize, usize),
    next: &mut usize,
    each: &mut impl FnMut(usize, bool, usize, usize),
) {
    match network {
        &Network::Pickup { pickup, reversed } => each(pickup, reversed, top, bottom),
        Network::Parallel(parts) => {
            parts.iter().for_each(|part| hang_between(part, orders, (top, bottom), next, each));
        }
        Network::Series(parts) => {
            let strung = orders.iter().find(|(known, _)| known == parts).map_or(parts, |(_, strung)| strung);
            let mut above = top;
            for (place, part) in strung.iter().enumerate() {
                let last = place + 1 == strung.len();
                let below = if last { bottom } else { *next };
                *next += usize::from(!last);
                hang_between(part, orders, (above, below), next, each);
                above = below;
            }
        }
    }
}
