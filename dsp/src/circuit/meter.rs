//! What a meter reads at the jack, and the noise the circuit makes by itself.

use super::lower::{Loaded, lower};
use super::netlist::{ElementKind, Netlist};
use super::{CircuitError, Controls, Mna};
use crate::document::Assembly;

/// Boltzmann's constant, in joules per kelvin (exact in the SI of 2019).
const BOLTZMANN: f64 = 1.380_649e-23;

/// Resistance between the jack's tip and sleeve with nothing plugged in, in ohms: capacitors open, inductors short,
/// EMFs at rest. Infinite when no conductor leads from one to the other.
///
/// # Errors
/// When the circuit has no single solution.
pub fn dc_at_jack(assembly: &Assembly, controls: &Controls) -> Result<f64, CircuitError> {
    let lowered = lower(assembly, controls, Loaded::No);
    dc_resistance(&lowered.netlist, lowered.jack)
}

/// The same between any node of a netlist and ground.
///
/// # Errors
/// When the circuit has no single solution.
pub fn dc_resistance(netlist: &Netlist, node: usize) -> Result<f64, CircuitError> {
    let conducts = |kind: &ElementKind| !matches!(kind, ElementKind::Capacitor(_));
    let islands = netlist.islands(&[], conducts);
    if islands[node] != Netlist::GROUND {
        return Ok(f64::INFINITY);
    }
    // Only what conducts and hangs together with the meter counts; the rest would float.
    let mut conductive = Netlist::new();
    let mut meter = Netlist::GROUND;
    for (index, name) in netlist.nodes().iter().enumerate() {
        let copy = conductive.node(name);
        if index == node {
            meter = copy;
        }
    }
    for element in netlist.elements() {
        let kept = !matches!(element.kind, ElementKind::Capacitor(_) | ElementKind::Coupling { .. });
        if kept && islands[element.a] == Netlist::GROUND {
            conductive.add(&element.name, element.a, element.b, element.kind);
        }
    }
    Mna::new(&conductive).impedance(meter, 0.0).map(|impedance| impedance.re)
}

/// Thermal noise density at a place whose impedance has this real part, in volts per root hertz: sqrt(4 k T Re Z)
/// (Nyquist, "Thermal agitation of electric charge in conductors", Phys. Rev. 32, 1928).
pub fn noise_density(real_impedance: f64, kelvin: f64) -> f64 {
    (4.0 * BOLTZMANN * kelvin * real_impedance).sqrt()
}
