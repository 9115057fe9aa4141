//! A coil as elements of a netlist, or as its Norton equivalent at one frequency.

use num_complex::Complex64;

use super::netlist::{ElementKind, Netlist, Node};
use crate::document::Coil;

/// A coil whose series branch stands beside the netlist: it costs no unknown when a circuit is folded.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CoilApart {
    pub hot: Node,
    pub ground: Node,
    /// Index of the pickup, and of its EMF.
    pub pickup: usize,
    pub coil: Coil,
}

/// Adds a coil: EMF, resistance and inductance in series, eddy-current branches across the inductance, winding
/// capacitance across it all. Returns the inductor's place in the netlist.
pub(super) fn add_coil(
    netlist: &mut Netlist,
    name: &str,
    coil: &Coil,
    source: usize,
    hot: Node,
    ground: Node,
) -> usize {
    let emf = netlist.node(&format!("{name}-emf"));
    let wire = netlist.node(&format!("{name}-wire"));
    netlist.add(&format!("{name}-source"), emf, ground, ElementKind::Source(source));
    netlist.add(&format!("{name}-resistance"), emf, wire, ElementKind::Resistor(coil.resistance));
    let inductor = netlist.add(&format!("{name}-inductance"), wire, hot, ElementKind::Inductor(inductance(coil)));
    for (suffix, eddy) in ["eddy", "plate"].into_iter().zip(eddies(coil)) {
        if let Some(eddy) = eddy {
            netlist.add(&format!("{name}-{suffix}"), wire, hot, ElementKind::Resistor(eddy));
        }
    }
    add_capacitance(netlist, name, coil, hot, ground);
    inductor
}

/// Adds the winding capacitance alone; it also keeps the coil's ends on one island.
pub(super) fn add_capacitance(netlist: &mut Netlist, name: &str, coil: &Coil, hot: Node, ground: Node) {
    netlist.add(&format!("{name}-capacitance"), hot, ground, ElementKind::Capacitor(coil.capacitance));
}

impl CoilApart {
    /// Admittance of the series branch, in siemens, which is also the current into the hot lead per volt of EMF:
    /// 1 / (R + 1 / (1/sL + 1/R_eddy + 1/R_plate)).
    pub fn admittance(&self, hertz: f64) -> Complex64 {
        let reactance = std::f64::consts::TAU * hertz * inductance(&self.coil);
        let losses: f64 = eddies(&self.coil).into_iter().flatten().map(|eddy| 1.0 / eddy).sum();
        let across = Complex64::new(losses, -1.0 / reactance);
        (across.inv() + self.coil.resistance).inv()
    }
}

fn inductance(coil: &Coil) -> f64 {
    coil.inductance * coil.plate.as_ref().map_or(1.0, |plate| plate.inductance_factor)
}

/// Resistances of the eddy-current branches: the coil's own and its plate's.
fn eddies(coil: &Coil) -> [Option<f64>; 2] {
    [coil.eddy_resistance, coil.plate.as_ref().map(|plate| plate.eddy_resistance)]
}
