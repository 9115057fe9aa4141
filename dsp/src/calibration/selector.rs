//! Positions of a selector, as the circuit that recordings are made through has them.

use super::session::Position;
use crate::circuit::{CircuitError, CompiledWiring, Controls, Grid, standing};
use crate::document::Assembly;

/// Highest frequency of the circuit, in hertz: partials are looked at far below.
const TOP_HERTZ: f64 = 24_000.0;

/// Every position of a wiring's selector with all else where the controls have it, and the grid that their responses are on.
///
/// # Errors
/// When the circuit has no solution.
pub fn positions(assembly: &Assembly, controls: &Controls) -> Result<(Grid, Vec<Position>), CircuitError> {
    let grid = Grid::up_to(TOP_HERTZ);
    let mut wiring = CompiledWiring::new(assembly, &grid)?;
    let position = |position| {
        let mut there = *controls;
        there.position = position;
        Position { name: standing::controls(assembly, &there), responses: wiring.responses(&there).clone() }
    };
    let positions = (1..=assembly.controls.positions).map(position).collect();
    Ok((grid, positions))
}
