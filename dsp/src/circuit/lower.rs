//! From an assembly to a netlist: switches become merged nodes, pots become resistors, pickups become coils.

use super::coil::{CoilApart, add_capacitance, add_coil};
use super::controls::Controls;
use super::netlist::{DisjointSets, ElementKind, Netlist, Node};
use crate::document::{AssembledKind, AssembledPart, Assembly, Pot};

/// A netlist made from an assembly, with the nodes that matter.
#[derive(Debug, Clone, PartialEq)]
pub struct Lowered {
    /// The circuit. Its source of index i is the EMF of the guitar's pickup i.
    pub netlist: Netlist,
    /// The jack's tip.
    pub jack: Node,
    /// The pots' track halves that were left out, when they were.
    pub(super) tracks: Vec<Track>,
    /// The coils that were left out, when they were.
    pub(super) coils: Vec<CoilApart>,
}

/// One half of a pot's track.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Track {
    pub a: Node,
    pub b: Node,
    pub half: Half,
    pub pot: Pot,
    pub knob: usize,
    pub name: String,
}

/// Which half of a track.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Half {
    /// Between lug 1 and the wiper.
    Lower,
    /// Between the wiper and lug 3.
    Upper,
}

/// A pot's wiper never has less than this to an end of the track, in ohms.
const LEAST_RESISTANCE: f64 = 1.0;

/// What stands at the jack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loaded {
    /// Cable and input: what is heard.
    Yes,
    /// Nothing: what a meter sees.
    No,
}

/// The circuit of an assembly for these controls, with every element in it.
pub fn lower(assembly: &Assembly, controls: &Controls, loaded: Loaded) -> Lowered {
    let mut lowered = lower_without_pots(assembly, controls, Coils::Within);
    for track in std::mem::take(&mut lowered.tracks) {
        if let Some(resistance) = track.resistance(controls) {
            lowered.netlist.add(&track.name, track.a, track.b, ElementKind::Resistor(resistance));
        }
    }
    if loaded == Loaded::Yes {
        let (jack, load) = (lowered.jack, controls.load);
        lowered.netlist.add("cable", jack, Netlist::GROUND, ElementKind::Capacitor(load.cable));
        lowered.netlist.add("input", jack, Netlist::GROUND, ElementKind::Resistor(load.input));
    }
    lowered
}

/// Where coils that share no flux with others go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Coils {
    /// Into the netlist, element by element.
    Within,
    /// Beside it, as [`CoilApart`].
    Apart,
}

/// The same without load, and with the pots' tracks beside the netlist instead of in it.
pub(super) fn lower_without_pots(assembly: &Assembly, controls: &Controls, coils: Coils) -> Lowered {
    let joined = merge(assembly, controls);
    let mut netlist = Netlist::new();
    let mut nodes = vec![Netlist::GROUND; assembly.joints.len()];
    for (joint, name) in assembly.joints.iter().enumerate() {
        let representative = joined.find(joint);
        nodes[joint] = match representative {
            Assembly::GROUND => Netlist::GROUND,
            first if first == joint => netlist.node(name),
            first => nodes[first],
        };
    }
    let mut lowered = Lowered { netlist, jack: nodes[assembly.tip()], tracks: Vec::new(), coils: Vec::new() };
    let mut inductors = vec![None; assembly.guitar.pickups.len()];
    for part in &assembly.parts {
        let ends: Vec<Node> = part.joints.iter().map(|&joint| nodes[joint]).collect();
        match part.kind {
            AssembledKind::Pickup(pickup) => {
                inductors[pickup] = add_pickup(&mut lowered, assembly, pickup, &ends, coils);
            }
            _ => add_part(&mut lowered, part, &ends),
        }
    }
    couple(&mut lowered.netlist, assembly, &inductors);
    lowered
}

/// For each joint of the assembly the lowest joint that the switches make one with it, for these controls.
pub fn joined(assembly: &Assembly, controls: &Controls) -> Vec<usize> {
    let merged = merge(assembly, controls);
    (0..assembly.joints.len()).map(|joint| merged.find(joint)).collect()
}

/// Which joints the switches make one, for these controls.
pub(super) fn merge(assembly: &Assembly, controls: &Controls) -> DisjointSets {
    let mut joined = DisjointSets::new(assembly.joints.len());
    for part in &assembly.parts {
        for group in closed_contacts(part, controls) {
            group.windows(2).for_each(|pair| joined.union(pair[0], pair[1]));
        }
    }
    joined
}

/// The groups of joints that a switch joins where the controls stand; none for other parts.
pub(super) fn closed_contacts(part: &AssembledPart, controls: &Controls) -> Vec<Vec<usize>> {
    let joints = |lugs: Vec<usize>| lugs.into_iter().map(|lug| part.joints[lug]).collect();
    closed_lugs(part, controls).into_iter().map(joints).collect()
}

/// The groups of lugs, by index, that a switch joins where the controls stand; none for other parts.
pub fn closed_lugs(part: &AssembledPart, controls: &Controls) -> Vec<Vec<usize>> {
    let AssembledKind::Switch { switch, index, .. } = &part.kind else {
        return Vec::new();
    };
    let position = index.map_or(controls.position, |index| controls.switches[index]);
    let chosen = usize::from(position).clamp(1, switch.positions.len()) - 1;
    let index = |lug: &String| part.lugs.iter().position(|known| known == lug);
    switch.positions[chosen].joined.iter().map(|group| group.iter().filter_map(index).collect()).collect()
}

impl Track {
    /// Resistance in ohms where the controls stand; none when the track is open.
    pub fn resistance(&self, controls: &Controls) -> Option<f64> {
        let travel = controls.knobs[self.knob] / 10.0;
        let (pot, share) = (&self.pot, self.pot.taper.share(travel));
        let open = pot.no_load && (self.half != Half::Lower || travel >= 1.0);
        let resistance = match self.half {
            Half::Lower => pot.resistance * share,
            Half::Upper => pot.resistance * (1.0 - share),
        };
        (!open).then_some(resistance.max(LEAST_RESISTANCE))
    }
}

/// Adds a pickup; returns the place of its inductor, unless the coil was left apart.
fn add_pickup(lowered: &mut Lowered, assembly: &Assembly, pickup: usize, ends: &[Node], coils: Coils) -> Option<usize> {
    let (name, coil) = (&assembly.guitar.pickups[pickup].name, &assembly.guitar.pickups[pickup].coil);
    let (hot, ground) = (ends[0], ends[1]);
    let coupled = assembly.guitar.couplings.iter().any(|coupling| coupling.between.contains(name));
    if coils == Coils::Within || coupled {
        return Some(add_coil(&mut lowered.netlist, name, coil, pickup, hot, ground));
    }
    add_capacitance(&mut lowered.netlist, name, coil, hot, ground);
    lowered.coils.push(CoilApart { hot, ground, pickup, coil: coil.clone() });
    None
}

fn add_part(lowered: &mut Lowered, part: &AssembledPart, ends: &[Node]) {
    let name = part.name.as_str();
    let apart = |a: usize, b: usize| ends[a] != ends[b];
    match &part.kind {
        AssembledKind::Pot { pot, knob } => add_tracks(lowered, name, pot, *knob, ends),
        AssembledKind::Capacitor { capacitance, .. } if apart(0, 1) => {
            lowered.netlist.add(name, ends[0], ends[1], ElementKind::Capacitor(*capacitance));
        }
        AssembledKind::Resistor { resistance, .. } if apart(0, 1) => {
            lowered.netlist.add(name, ends[0], ends[1], ElementKind::Resistor(*resistance));
        }
        _ => {}
    }
}

fn add_tracks(lowered: &mut Lowered, name: &str, pot: &Pot, knob: usize, ends: &[Node]) {
    let track = |a: Node, b: Node, half: Half, suffix: &str| Track {
        a,
        b,
        half,
        pot: pot.clone(),
        knob,
        name: format!("{name}-{suffix}"),
    };
    let halves = [track(ends[0], ends[1], Half::Lower, "lower"), track(ends[1], ends[2], Half::Upper, "upper")];
    lowered.tracks.extend(halves.into_iter().filter(|half| half.a != half.b));
}

fn couple(netlist: &mut Netlist, assembly: &Assembly, coils: &[Option<usize>]) {
    for coupling in &assembly.guitar.couplings {
        let inductor = |name: &String| {
            let index = assembly.guitar.pickups.iter().position(|pickup| pickup.name == *name)?;
            coils[index]
        };
        if let [Some(first), Some(second)] = [inductor(&coupling.between[0]), inductor(&coupling.between[1])] {
            let name = format!("{}-{}", coupling.between[0], coupling.between[1]);
            netlist
                .couple(&name, first, second, coupling.coefficient)
                .expect("the guitar document was read with couplings between two of its coils");
        }
    }
}
