//! Modified nodal analysis: (G + sC) x = b, with the letters of Ho, Ruehli and Brennan, "The modified nodal approach to
//! network analysis", IEEE Trans. Circuits and Systems 22(6), 1975.
//!
//! Unknowns are the node voltages (without ground) and the currents of inductors and sources. This is the exact, slow
//! solver: one dense complex solve per frequency. [`super::CompiledWiring`] is the fast one and is held against it.

use num_complex::Complex64;

use super::netlist::{ElementKind, Netlist, Node};
use super::{CircuitError, linear};

/// The matrices of a netlist, ready to be solved at any frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Mna {
    /// Row-major, `order` x `order`.
    pub(super) g: Vec<f64>,
    /// Row-major, `order` x `order`.
    pub(super) c: Vec<f64>,
    /// Per source, the row of its branch.
    source_rows: Vec<Vec<usize>>,
    /// Names of the unknowns.
    names: Vec<String>,
    nodes: usize,
}

impl Mna {
    /// Stamps a netlist. An island that nothing ties to ground gets one node grounded: no current flows through that
    /// tie, and its voltages to ground have no meaning otherwise.
    pub fn new(netlist: &Netlist) -> Self {
        Self::with_ports(netlist, &[])
    }

    /// The same with `ports`, nodes that are tied to ground from outside, so that what hangs on them is no island.
    pub(super) fn with_ports(netlist: &Netlist, ports: &[Node]) -> Self {
        let nodes = netlist.nodes().len() - 1;
        let branches: Vec<usize> = (0..netlist.elements().len()).filter(|&i| has_current(netlist, i)).collect();
        let names = netlist.nodes()[1..].iter().cloned();
        let names = names.chain(branches.iter().map(|&i| netlist.elements()[i].name.clone())).collect::<Vec<_>>();
        let order = names.len();
        let source_rows = vec![Vec::new(); netlist.sources()];
        let mut mna = Self { g: vec![0.0; order * order], c: vec![0.0; order * order], source_rows, names, nodes };
        let row_of = |element: usize| branches.iter().position(|&i| i == element).map(|i| nodes + i);
        for (i, element) in netlist.elements().iter().enumerate() {
            let (a, b) = (element.a, element.b);
            match element.kind {
                ElementKind::Resistor(r) => mna.stamp_pair(false, a, b, 1.0 / r),
                ElementKind::Capacitor(farads) => mna.stamp_pair(true, a, b, farads),
                ElementKind::Inductor(henries) => {
                    let row = mna.stamp_branch(row_of(i), a, b);
                    mna.c[row * order + row] -= henries;
                }
                ElementKind::Coupling { first, second, mutual } => {
                    let (first, second) = (row_of(first), row_of(second));
                    if let (Some(first), Some(second)) = (first, second) {
                        mna.c[first * order + second] -= mutual;
                        mna.c[second * order + first] -= mutual;
                    }
                }
                ElementKind::Source(index) => {
                    let row = mna.stamp_branch(row_of(i), a, b);
                    mna.source_rows[index].push(row);
                }
            }
        }
        mna.ground_islands(netlist, ports);
        mna
    }

    /// Number of unknowns.
    pub fn order(&self) -> usize {
        self.names.len()
    }

    /// Voltage of `node` per volt of each source, at a frequency in hertz.
    ///
    /// # Errors
    /// When the circuit has no single solution; the node is named.
    pub fn transfer(&self, node: Node, hertz: f64) -> Result<Vec<Complex64>, CircuitError> {
        if node == Netlist::GROUND {
            return Ok(vec![Complex64::ZERO; self.source_rows.len()]);
        }
        // Reciprocity would do, but the adjoint system is exact for any circuit: A^T z = e_node, H = z . b.
        let adjoint = self.solve_with(hertz, true, |rhs| rhs[node - 1] = Complex64::ONE)?;
        Ok(self.source_rows.iter().map(|rows| rows.iter().map(|&row| adjoint[row]).sum()).collect())
    }

    /// Impedance between `node` and ground with all sources at rest, in ohms, at a frequency in hertz. Its real part
    /// gives the thermal noise: see [`super::noise_density`].
    ///
    /// # Errors
    /// When the circuit has no single solution; the node is named.
    pub fn impedance(&self, node: Node, hertz: f64) -> Result<Complex64, CircuitError> {
        if node == Netlist::GROUND {
            return Ok(Complex64::ZERO);
        }
        let x = self.solve_with(hertz, false, |rhs| rhs[node - 1] = Complex64::ONE)?;
        Ok(x[node - 1])
    }

    /// G + sC at a frequency in hertz, row-major.
    pub(super) fn matrix(&self, hertz: f64) -> Vec<Complex64> {
        let omega = std::f64::consts::TAU * hertz;
        self.g.iter().zip(&self.c).map(|(&g, &c)| Complex64::new(g, omega * c)).collect()
    }

    /// Name of an unknown: a node, or an element whose current it is.
    pub(super) fn name(&self, unknown: usize) -> &str {
        &self.names[unknown]
    }

    /// Rows in which the source of that index stands on the right-hand side.
    pub(super) fn source_rows(&self, source: usize) -> &[usize] {
        self.source_rows.get(source).map_or(&[], Vec::as_slice)
    }

    fn solve_with(
        &self,
        hertz: f64,
        transposed: bool,
        excite: impl FnOnce(&mut [Complex64]),
    ) -> Result<Vec<Complex64>, CircuitError> {
        let order = self.order();
        let mut matrix = self.matrix(hertz);
        if transposed {
            linear::transpose(&mut matrix, order);
        }
        let mut rhs = vec![Complex64::ZERO; order];
        excite(&mut rhs);
        linear::solve(&mut matrix, &mut rhs, order)
            .map_err(|row| CircuitError::Singular { node: self.names[row].clone(), hertz })?;
        Ok(rhs)
    }

    fn stamp_pair(&mut self, reactive: bool, a: Node, b: Node, y: f64) {
        let order = self.order();
        let matrix = if reactive { &mut self.c } else { &mut self.g };
        for (i, j, sign) in [(a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)] {
            if i != Netlist::GROUND && j != Netlist::GROUND {
                matrix[(i - 1) * order + j - 1] += sign * y;
            }
        }
    }

    fn stamp_branch(&mut self, row: Option<usize>, a: Node, b: Node) -> usize {
        let row = row.expect("inductors and sources have a current among the unknowns");
        let order = self.order();
        for (node, sign) in [(a, 1.0), (b, -1.0)] {
            if node != Netlist::GROUND {
                self.g[(node - 1) * order + row] += sign;
                self.g[row * order + node - 1] += sign;
            }
        }
        row
    }

    fn ground_islands(&mut self, netlist: &Netlist, ports: &[Node]) {
        let mut ties = vec![Netlist::GROUND];
        ties.extend(ports);
        let islands = netlist.islands(&ties, |_| true);
        let order = self.order();
        for (node, _) in islands.iter().enumerate().skip(1).filter(|&(node, &lowest)| node == lowest) {
            self.g[(node - 1) * order + node - 1] += 1.0;
        }
    }
}

fn has_current(netlist: &Netlist, element: usize) -> bool {
    matches!(netlist.elements()[element].kind, ElementKind::Inductor(_) | ElementKind::Source(_))
}
