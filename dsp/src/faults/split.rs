//! A joint falls in two where one of its wires is missing.

use crate::document::{AssembledKind, Assembly};
use crate::drawing::{Connection, LugPlace};

/// The assembly without one wire; none where that changes nothing but a pot's case.
pub(super) fn without(assembly: &Assembly, connections: &[Connection], missing: usize) -> Option<Assembly> {
    let joint = connections[missing].joint;
    let kept: Vec<&Connection> = connections
        .iter()
        .enumerate()
        .filter(|&(index, connection)| index != missing && connection.joint == joint)
        .map(|(_, connection)| connection)
        .collect();
    let reached = |start: LugPlace| {
        let mut reached = vec![start];
        let mut next = 0;
        while next < reached.len() {
            let here = reached[next];
            let beside = kept.iter().filter_map(|wire| match here {
                _ if wire.from == here => Some(wire.to),
                _ if wire.to == here => Some(wire.from),
                _ => None,
            });
            let found: Vec<LugPlace> = beside.chain(other_side(assembly, here)).collect();
            for place in found {
                if !reached.contains(&place) {
                    reached.push(place);
                }
            }
            next += 1;
        }
        reached
    };
    let sides = [connections[missing].from, connections[missing].to].map(reached);
    let is_sleeve = |place: &LugPlace| {
        assembly.parts.get(place.part).is_some_and(|part| part.kind == AssembledKind::Jack) && place.lug == 1
    };
    // Ground is where the sleeve is.
    let cut = if sides[1].iter().any(is_sleeve) { &sides[0] } else { &sides[1] };
    let lugs: Vec<LugPlace> = cut.iter().copied().filter(|&place| !is_case(assembly, place)).collect();
    let all = sides.iter().flatten().filter(|&&place| !is_case(assembly, place)).count();
    if lugs.is_empty() || lugs.len() == all {
        return None;
    }
    let mut changed = assembly.clone();
    changed.joints.push(format!("{} cut off", assembly.joints[joint]));
    for place in lugs {
        changed.parts[place.part].joints[place.lug] = changed.joints.len() - 1;
    }
    Some(changed)
}

/// Whether a place is a pot's case, which no lug of the assembly is.
fn is_case(assembly: &Assembly, place: LugPlace) -> bool {
    place.lug >= assembly.parts[place.part].lugs.len()
}

/// The other side of a pot's case.
fn other_side(assembly: &Assembly, place: LugPlace) -> Option<LugPlace> {
    let lugs = assembly.parts[place.part].lugs.len();
    is_case(assembly, place)
        .then(|| LugPlace { part: place.part, lug: if place.lug == lugs { lugs + 1 } else { lugs } })
}
