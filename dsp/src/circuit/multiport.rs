//! One combination of switches, folded into the few nodes that the knobs and the load touch.
//!
//! Everything but the variable resistances is eliminated once, at every point of the grid (Schur complement); what is
//! left is an admittance between ports and, per pickup, a current into each port (Norton). Where a knob stands then
//! costs one tiny symmetric elimination per point.

use num_complex::Complex64;

use super::CircuitError;
use super::controls::Controls;
use super::elimination::{Elimination, Folded};
use super::grid::Grid;
use super::lower::{Coils, Track, lower_without_pots};
use super::netlist::{Netlist, Node};
use crate::document::Assembly;

/// Real and imaginary parts at every point of the grid, apart so that loops over points vectorise.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve {
    pub re: [f64; Grid::POINTS],
    pub im: [f64; Grid::POINTS],
}

/// The folded circuit of one combination of switches.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Multiport {
    /// Ports; the last one is the jack, unless that is shorted.
    ports: usize,
    /// Upper triangle, row by row, of the symmetric admittance between the ports, in siemens.
    admittance: Vec<Curve>,
    /// Per port and pickup, the short-circuit current per volt of EMF, in siemens: `port * pickups + pickup`.
    current: Vec<Curve>,
    /// Tracks between ports; none is ground.
    branches: Vec<(Option<usize>, Option<usize>, Track)>,
    pickups: usize,
    /// Whether the jack is shorted.
    silent: bool,
}

/// Room in which a multiport is solved, made once for the largest.
#[derive(Debug, Clone)]
pub(super) struct Workspace {
    admittance: Vec<Curve>,
    current: Vec<Curve>,
    factor: Box<Curve>,
}

/// Keeps a port that nothing else touches from being singular, in siemens: far below any part of a guitar.
const LEAKAGE: f64 = 1e-18;

impl Curve {
    pub const ZERO: Self = Self { re: [0.0; Grid::POINTS], im: [0.0; Grid::POINTS] };

    fn set(&mut self, point: usize, value: Complex64) {
        self.re[point] = value.re;
        self.im[point] = value.im;
    }
}

impl Workspace {
    pub fn new(multiports: &[Multiport]) -> Self {
        let largest = |size: fn(&Multiport) -> usize| multiports.iter().map(size).max().unwrap_or(0);
        Self {
            admittance: vec![Curve::ZERO; largest(|multiport| multiport.admittance.len())],
            current: vec![Curve::ZERO; largest(|multiport| multiport.current.len())],
            factor: Box::new(Curve::ZERO),
        }
    }
}

impl Multiport {
    /// Folds the circuit that an assembly has where the switches stand.
    pub fn fold(assembly: &Assembly, controls: &Controls, grid: &Grid) -> Result<Self, CircuitError> {
        let lowered = lower_without_pots(assembly, controls, Coils::Apart);
        let ports = port_nodes(&lowered.tracks, lowered.jack);
        let pickups = assembly.guitar.pickups.len();
        let count = ports.len();
        let mut multiport = Self {
            ports: count,
            admittance: vec![Curve::ZERO; count * (count + 1) / 2],
            current: vec![Curve::ZERO; count * pickups],
            branches: Vec::new(),
            pickups,
            silent: lowered.jack == Netlist::GROUND,
        };
        let elimination = Elimination::new(&lowered, &ports, pickups);
        for (point, &hertz) in grid.hertz().iter().enumerate() {
            multiport.keep(point, &elimination.run(hertz)?);
        }
        let port_of = |node: Node| ports.iter().position(|&port| port == node);
        let branch = |track: Track| (port_of(track.a), port_of(track.b), track);
        multiport.branches = lowered.tracks.into_iter().map(branch).collect();
        Ok(multiport)
    }

    /// Writes the response of every pickup at the jack, in volts per volt of EMF, where the knobs stand, and the impedance
    /// there with the load on it, in ohms.
    ///
    /// Allocates nothing.
    pub fn solve(
        &self,
        controls: &Controls,
        grid: &Grid,
        room: &mut Workspace,
        responses: &mut [Curve],
        impedance: &mut Curve,
    ) {
        if self.silent {
            *impedance = Curve::ZERO;
            return responses.fill(Curve::ZERO);
        }
        let jack = self.ports - 1;
        self.load(controls, grid, room);
        for k in 0..jack {
            self.eliminate(k, room);
        }
        invert(&room.admittance[self.entry(jack, jack)], impedance);
        for (pickup, response) in responses.iter_mut().enumerate().take(self.pickups) {
            multiply(&room.current[jack * self.pickups + pickup], impedance, response);
        }
    }

    /// Keeps what was folded at a point of the grid.
    fn keep(&mut self, point: usize, folded: &Folded) {
        for i in 0..self.ports {
            for j in i..self.ports {
                let leakage = if i == j { LEAKAGE } else { 0.0 };
                let entry = self.entry(i, j);
                self.admittance[entry].set(point, folded.admittance(i, j) + leakage);
            }
            for pickup in 0..self.pickups {
                self.current[i * self.pickups + pickup].set(point, folded.current(i, pickup));
            }
        }
    }

    /// Copies the folded circuit and adds what the knobs and the load are.
    fn load(&self, controls: &Controls, grid: &Grid, room: &mut Workspace) {
        room.admittance[..self.admittance.len()].clone_from_slice(&self.admittance);
        room.current[..self.current.len()].clone_from_slice(&self.current);
        for (a, b, track) in &self.branches {
            let conductance = track.resistance(controls).map_or(0.0, |resistance| 1.0 / resistance);
            for port in [a, b].into_iter().flatten() {
                room.admittance[self.entry(*port, *port)].re.iter_mut().for_each(|y| *y += conductance);
            }
            if let (Some(a), Some(b)) = (a, b) {
                room.admittance[self.entry(*a, *b)].re.iter_mut().for_each(|y| *y -= conductance);
            }
        }
        let jack = &mut room.admittance[self.entry(self.ports - 1, self.ports - 1)];
        let input = 1.0 / controls.load.input;
        for ((re, im), hertz) in jack.re.iter_mut().zip(&mut jack.im).zip(grid.hertz()) {
            *re += input;
            *im += std::f64::consts::TAU * hertz * controls.load.cable;
        }
    }

    /// One step of symmetric elimination. Needs no pivoting: the admittance of a passive circuit has a positive
    /// definite real part once the leakage is in, and keeps it (Higham, "Factorizing complex symmetric matrices with
    /// positive definite real and imaginary parts", Math. Comp. 67, 1998, bounds the growth).
    fn eliminate(&self, k: usize, room: &mut Workspace) {
        let mut inverse = Curve::ZERO;
        invert(&room.admittance[self.entry(k, k)], &mut inverse);
        for i in k + 1..self.ports {
            multiply(&room.admittance[self.entry(k, i)], &inverse, &mut room.factor);
            for j in i..self.ports {
                let (source, target) = pair(&mut room.admittance, self.entry(k, j), self.entry(i, j));
                subtract_product(source, &room.factor, target);
            }
            for pickup in 0..self.pickups {
                let (k, i) = (k * self.pickups + pickup, i * self.pickups + pickup);
                let (source, target) = pair(&mut room.current, k, i);
                subtract_product(source, &room.factor, target);
            }
        }
    }

    /// Place of an entry in the upper triangle.
    fn entry(&self, a: usize, b: usize) -> usize {
        let (row, column) = (a.min(b), a.max(b));
        row * (2 * self.ports - row + 1) / 2 + column - row
    }
}

/// The nodes that pots touch, then the jack: ascending, each once, without ground.
fn port_nodes(tracks: &[Track], jack: Node) -> Vec<Node> {
    let mut ports: Vec<Node> = tracks.iter().flat_map(|track| [track.a, track.b]).collect();
    ports.retain(|&node| node != Netlist::GROUND && node != jack);
    ports.sort_unstable();
    ports.dedup();
    if jack != Netlist::GROUND {
        ports.push(jack);
    }
    ports
}

fn pair(curves: &mut [Curve], source: usize, target: usize) -> (&Curve, &mut Curve) {
    let (head, tail) = curves.split_at_mut(target);
    (&head[source], &mut tail[0])
}

fn invert(value: &Curve, inverse: &mut Curve) {
    for i in 0..Grid::POINTS {
        let (re, im) = (value.re[i], value.im[i]);
        let scale = 1.0 / (re * re + im * im);
        inverse.re[i] = re * scale;
        inverse.im[i] = -im * scale;
    }
}

fn multiply(a: &Curve, b: &Curve, product: &mut Curve) {
    for i in 0..Grid::POINTS {
        product.re[i] = a.re[i] * b.re[i] - a.im[i] * b.im[i];
        product.im[i] = a.re[i] * b.im[i] + a.im[i] * b.re[i];
    }
}

fn subtract_product(a: &Curve, b: &Curve, target: &mut Curve) {
    for i in 0..Grid::POINTS {
        target.re[i] -= a.re[i] * b.re[i] - a.im[i] * b.im[i];
        target.im[i] -= a.re[i] * b.im[i] + a.im[i] * b.re[i];
    }
}
