//! Every single fault that a hand with an iron can make, each as an assembly of its own.

use super::split::without;
use crate::document::{AssembledKind, AssembledPart, Assembly};
use crate::drawing::{Connection, LugPlace};
use crate::units::{self, Quantity};

/// One single fault, or none.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What kind of fault it is.
    pub kind: FaultKind,
    /// What is wrong and where, in a sentence without its end.
    pub what: String,
    /// What a meter inside the guitar would show, where nothing at the jack tells; empty where it would show nothing.
    pub probe: String,
    /// The circuit with the fault in it.
    pub assembly: Assembly,
}

/// Kinds of faults, likeliest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultKind {
    /// Everything is as it should be.
    Sound,
    /// A wire is missing, broken, or its joint is cold.
    MissingWire,
    /// Two neighbouring lugs of a part are bridged, by solder or a strand.
    Bridge,
    /// What belongs on two neighbouring lugs of a part is swapped.
    Swap,
    /// A pot of another value.
    WrongPot,
    /// A pickup's winding or lead is open.
    OpenPickup,
    /// A pickup is shorted.
    ShortedPickup,
    /// A capacitor is shorted.
    ShortedCapacitor,
}

/// An open winding, in ohms: leakage of a damp bobbin.
const OPEN: f64 = 1e9;
/// A short, in ohms: a strand of wire or a blob of solder.
const SHORT: f64 = 0.1;
/// Pots that lie in a drawer (common practice, no source).
const USUAL_POTS: [f64; 5] = [25e3, 100e3, 250e3, 500e3, 1e6];

/// The sound assembly and every single fault of it. `connections` are the wires as drawn.
pub fn candidates(assembly: &Assembly, connections: &[Connection]) -> Vec<Candidate> {
    let mut all = vec![Candidate {
        kind: FaultKind::Sound,
        what: "everything is as it should be".into(),
        probe: String::new(),
        assembly: assembly.clone(),
    }];
    all.extend((0..connections.len()).filter_map(|missing| missing_wire(assembly, connections, missing)));
    for (index, part) in assembly.parts.iter().enumerate() {
        for (a, b) in neighbours(part) {
            all.extend(bridge(assembly, index, a, b));
            all.extend(swap(assembly, index, a, b));
        }
        all.extend(of_part(assembly, index));
    }
    all
}

/// A lug's name; a pot's case is called so.
fn name(assembly: &Assembly, place: LugPlace) -> String {
    let part = &assembly.parts[place.part];
    match part.lugs.get(place.lug) {
        Some(lug) => format!("{}.{lug}", part.name),
        None => format!("the case of {}", part.name),
    }
}

fn missing_wire(assembly: &Assembly, connections: &[Connection], missing: usize) -> Option<Candidate> {
    let Connection { from, to, .. } = connections[missing];
    let (from, to) = (name(assembly, from), name(assembly, to));
    let what = format!("wire {} from {from} to {to} is missing or its joint is cold", missing + 1);
    let probe =
        format!("measure from {from} to {to}, the guitar unplugged: more than 1 ohm is a bad wire {}", missing + 1);
    let assembly = without(assembly, connections, missing)?;
    Some(Candidate { kind: FaultKind::MissingWire, what, probe, assembly })
}

/// Pairs of lugs that lie side by side.
fn neighbours(part: &AssembledPart) -> Vec<(usize, usize)> {
    match &part.kind {
        AssembledKind::Pot { .. } => vec![(0, 1), (1, 2)],
        AssembledKind::Switch { switch, .. } => {
            let index = |name: &String| part.lugs.iter().position(|lug| lug == name);
            let rows = switch.rows();
            let pairs = rows.iter().flat_map(|row| row.windows(2));
            pairs.filter_map(|pair| Some((index(&pair[0])?, index(&pair[1])?))).collect()
        }
        AssembledKind::Pickup(_) | AssembledKind::Jack => vec![(0, 1)],
        AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. } => Vec::new(),
    }
}

/// Two joints become one.
fn bridge(assembly: &Assembly, part: usize, a: usize, b: usize) -> Option<Candidate> {
    let (lugs, joints) = (&assembly.parts[part].lugs, &assembly.parts[part].joints);
    let (first, second) = (joints[a].min(joints[b]), joints[a].max(joints[b]));
    if first == second {
        return None;
    }
    let what = format!("{0}.{1} and {0}.{2} are bridged", assembly.parts[part].name, lugs[a], lugs[b]);
    let mut changed = assembly.clone();
    for joint in changed.parts.iter_mut().flat_map(|part| &mut part.joints).filter(|joint| **joint == second) {
        *joint = first;
    }
    let probe = format!("look between {0}.{1} and {0}.{2} with a lens", assembly.parts[part].name, lugs[a], lugs[b]);
    Some(Candidate { kind: FaultKind::Bridge, what, probe, assembly: changed })
}

/// Two lugs change places. The jack's are named by what is soldered to them, so nothing in the circuit tells.
fn swap(assembly: &Assembly, part: usize, a: usize, b: usize) -> Option<Candidate> {
    let AssembledPart { name, lugs, joints, kind, .. } = &assembly.parts[part];
    if joints[a] == joints[b] {
        return None;
    }
    let what = format!("what belongs on {name}.{} and {name}.{} is swapped", lugs[a], lugs[b]);
    let mut changed = assembly.clone();
    if *kind != AssembledKind::Jack {
        changed.parts[part].joints.swap(a, b);
    }
    let probe = match kind {
        AssembledKind::Pickup(_) => format!("listen for a thin sound where {name} sounds with another pickup"),
        AssembledKind::Jack => "listen for hum that grows when the strings are touched".into(),
        _ => format!("compare {name} with the drawing, lug by lug"),
    };
    Some(Candidate { kind: FaultKind::Swap, what, probe, assembly: changed })
}

/// What can be wrong with the part itself.
fn of_part(assembly: &Assembly, index: usize) -> Vec<Candidate> {
    let name = &assembly.parts[index].name;
    let changed = |kind: FaultKind, what: String, change: &dyn Fn(&mut Assembly)| {
        let mut assembly = assembly.clone();
        change(&mut assembly);
        let probe = match kind {
            FaultKind::WrongPot => format!("read what is printed on {name}, or measure from {name}.1 to {name}.3"),
            _ => format!("take one lead of {name} off and measure across it alone"),
        };
        Candidate { kind, what, probe, assembly }
    };
    match &assembly.parts[index].kind {
        AssembledKind::Pickup(pickup) => {
            let winding =
                |ohms: f64| move |assembly: &mut Assembly| assembly.guitar.pickups[*pickup].coil.resistance = ohms;
            vec![
                changed(FaultKind::OpenPickup, format!("the {name} pickup is open"), &winding(OPEN)),
                changed(FaultKind::ShortedPickup, format!("the {name} pickup is shorted"), &winding(SHORT)),
            ]
        }
        AssembledKind::Capacitor { tolerance, .. } => {
            let kind = AssembledKind::Resistor { resistance: SHORT, tolerance: *tolerance };
            let short = |assembly: &mut Assembly| assembly.parts[index].kind = kind.clone();
            vec![changed(FaultKind::ShortedCapacitor, format!("the capacitor {name} is shorted"), &short)]
        }
        AssembledKind::Pot { pot, .. } => {
            // Another value is one that the tolerance does not reach.
            let far = |value: &&f64| (*value / pot.resistance).ln().abs() > 2.0 * pot.tolerance.max(0.05);
            let wrong = |&value: &f64| {
                let what = format!("{name} is a pot of {}", units::write(value, Quantity::Resistance));
                changed(FaultKind::WrongPot, what, &|assembly: &mut Assembly| {
                    if let AssembledKind::Pot { pot, .. } = &mut assembly.parts[index].kind {
                        pot.resistance = value;
                    }
                })
            };
            USUAL_POTS.iter().filter(far).map(wrong).collect()
        }
        _ => Vec::new(),
    }
}
