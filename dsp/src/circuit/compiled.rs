//! A wiring with a guitar, compiled so that a knob costs next to nothing.

use num_complex::Complex64;

use super::controls::Controls;
use super::grid::Grid;
use super::multiport::{Curve, Multiport, Workspace};
use super::{CircuitError, combinations};
use crate::document::Assembly;

/// Every combination of selector and switches, folded on a grid. Solving allocates nothing.
#[derive(Debug, Clone)]
pub struct CompiledWiring {
    grid: Grid,
    multiports: Vec<Multiport>,
    room: Workspace,
    radix: Vec<u8>,
    responses: Responses,
}

/// One response per pickup on a grid, in volts at the jack per volt of EMF.
#[derive(Debug, Clone, PartialEq)]
pub struct Responses {
    curves: Vec<Curve>,
    impedance: Curve,
}

impl CompiledWiring {
    /// Folds every combination of selector and switches.
    ///
    /// # Errors
    /// When a combination has no single solution.
    pub fn new(assembly: &Assembly, grid: &Grid) -> Result<Self, CircuitError> {
        let fold = |controls: Controls| Multiport::fold(assembly, &controls, grid);
        let multiports = combinations(&assembly.controls).map(fold).collect::<Result<Vec<_>, _>>()?;
        let room = Workspace::new(&multiports);
        let mut radix = vec![assembly.controls.positions];
        radix.extend(assembly.controls.switches.iter().map(|&(_, positions)| positions));
        let responses = Responses { curves: vec![Curve::ZERO; assembly.guitar.pickups.len()], impedance: Curve::ZERO };
        Ok(Self { grid: grid.clone(), multiports, room, radix, responses })
    }

    /// The grid it was compiled for.
    pub fn grid(&self) -> &Grid {
        &self.grid
    }

    /// The responses where the controls stand. A selector or switch beyond its last position counts as in its last.
    pub fn responses(&mut self, controls: &Controls) -> &Responses {
        let wanted = std::iter::once(controls.position).chain(controls.switches);
        let mut index = 0;
        for (&positions, position) in self.radix.iter().zip(wanted) {
            index = index * usize::from(positions) + usize::from(position.clamp(1, positions)) - 1;
        }
        let Responses { curves, impedance } = &mut self.responses;
        self.multiports[index].solve(controls, &self.grid, &mut self.room, curves, impedance);
        &self.responses
    }
}

impl Responses {
    /// Number of pickups.
    pub fn pickups(&self) -> usize {
        self.curves.len()
    }

    /// A pickup's response at a point of the grid.
    pub fn at(&self, pickup: usize, point: usize) -> Complex64 {
        Complex64::new(self.curves[pickup].re[point], self.curves[pickup].im[point])
    }

    /// Real and imaginary parts of a pickup's response over the grid.
    pub fn parts(&self, pickup: usize) -> (&[f64], &[f64]) {
        (&self.curves[pickup].re, &self.curves[pickup].im)
    }

    /// Impedance at the jack with the load on it, in ohms, at a point of the grid; 0 where the jack is shorted. Its real part
    /// gives the thermal noise: see [`super::noise_density`].
    pub fn impedance(&self, point: usize) -> Complex64 {
        Complex64::new(self.impedance.re[point], self.impedance.im[point])
    }
}
