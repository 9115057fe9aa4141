//! Folding a circuit into its ports at one frequency (Schur complement).

use num_complex::Complex64;

use super::lower::Lowered;
use super::mna::Mna;
use super::netlist::{Netlist, Node};
use super::{CircuitError, linear};

/// The plan by which all unknowns but the ports are eliminated.
pub(super) struct Elimination<'a> {
    lowered: &'a Lowered,
    mna: Mna,
    /// Unknowns that go, as rows of the nodal matrix.
    gone: Vec<usize>,
    /// Unknowns that stay: the ports.
    kept: Vec<usize>,
    pickups: usize,
}

/// What is left at the ports at one frequency.
pub(super) struct Folded {
    ports: usize,
    pickups: usize,
    admittance: Vec<Complex64>,
    current: Vec<Complex64>,
}

impl Folded {
    /// Entry of the admittance between two ports, the second not before the first, in siemens.
    pub fn admittance(&self, i: usize, j: usize) -> Complex64 {
        self.admittance[i * self.ports + j]
    }

    /// Short-circuit current into a port per volt of a pickup's EMF, in siemens.
    pub fn current(&self, port: usize, pickup: usize) -> Complex64 {
        self.current[port * self.pickups + pickup]
    }
}

impl<'a> Elimination<'a> {
    pub fn new(lowered: &'a Lowered, ports: &[Node], pickups: usize) -> Self {
        let mna = Mna::with_ports(&lowered.netlist, ports);
        let kept: Vec<usize> = ports.iter().map(|&node| node - 1).collect();
        let gone = (0..mna.order()).filter(|row| !kept.contains(row)).collect();
        Self { lowered, mna, gone, kept, pickups }
    }

    /// Y = A_kk - W A_gk and J = b_k - W b_g with W = A_kg A_gg^-1. W comes from one factorisation of the transposed inner
    /// block, with a column per port; b has a column per pickup.
    pub fn run(&self, hertz: f64) -> Result<Folded, CircuitError> {
        let (order, ports, pickups) = (self.mna.order(), self.kept.len(), self.pickups);
        let (full, drive) = self.assemble(hertz);
        let at = |row: usize, column: usize| full[row * order + column];
        let block = |rows: &[usize], columns: &[usize]| -> Vec<Complex64> {
            columns.iter().flat_map(|&column| rows.iter().map(move |&row| at(row, column))).collect()
        };
        let mut inner = block(&self.gone, &self.gone);
        let mut weights = block(&self.kept, &self.gone);
        linear::solve(&mut inner, &mut weights, self.gone.len())
            .map_err(|unknown| CircuitError::Singular { node: self.mna.name(self.gone[unknown]).into(), hertz })?;
        let mut folded = Folded {
            ports,
            pickups,
            admittance: vec![Complex64::ZERO; ports * ports],
            current: vec![Complex64::ZERO; ports * pickups],
        };
        for (i, &row) in self.kept.iter().enumerate() {
            let through = |value: &dyn Fn(usize) -> Complex64| -> Complex64 {
                self.gone.iter().enumerate().map(|(k, &gone)| weights[k * ports + i] * value(gone)).sum()
            };
            for (j, &column) in self.kept.iter().enumerate().skip(i) {
                folded.admittance[i * ports + j] = at(row, column) - through(&|gone| at(gone, column));
            }
            for pickup in 0..pickups {
                let drive = |row: usize| drive[row * pickups + pickup];
                folded.current[i * pickups + pickup] = drive(row) - through(&drive);
            }
        }
        Ok(folded)
    }

    /// The nodal matrix with the coils that stand apart in it, and the right-hand side with a column per pickup.
    fn assemble(&self, hertz: f64) -> (Vec<Complex64>, Vec<Complex64>) {
        let order = self.mna.order();
        let mut matrix = self.mna.matrix(hertz);
        let mut drive = vec![Complex64::ZERO; order * self.pickups];
        for pickup in 0..self.pickups {
            for &row in self.mna.source_rows(pickup) {
                drive[row * self.pickups + pickup] += 1.0;
            }
        }
        for coil in &self.lowered.coils {
            let y = coil.admittance(hertz);
            let ends = [(coil.hot, 1.0), (coil.ground, -1.0)];
            for (a, sign_a) in ends.into_iter().filter(|&(node, _)| node != Netlist::GROUND) {
                drive[(a - 1) * self.pickups + coil.pickup] += sign_a * y;
                for (b, sign_b) in ends.into_iter().filter(|&(node, _)| node != Netlist::GROUND) {
                    matrix[(a - 1) * order + b - 1] += sign_a * sign_b * y;
                }
            }
        }
        (matrix, drive)
    }
}
