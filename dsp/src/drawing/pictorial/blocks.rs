//! How much room each part takes, and where on it its lugs are; in nodes of the grid.

use super::super::canvas::Cell;
use crate::document::{AssembledKind, AssembledPart, Switch};

/// A part's room, measured from its upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    /// Width and height of what no wire may enter.
    pub size: Cell,
    /// Where the body lies in its room, as wafers of a switch: upper left and lower right corners.
    pub bodies: Vec<(Cell, Cell)>,
    /// Its lugs, as they come in the assembly; a pot's case follows, right and left.
    pub lugs: Vec<Cell>,
}

/// From lug to lug along a switch.
const LUG_STEP: i32 = 3;
/// Height of a switch's wafer.
pub(super) const WAFER: i32 = 7;
/// Room between two wafers of a switch, lugs included.
const BETWEEN_WAFERS: i32 = 8;

pub(super) fn block(part: &AssembledPart) -> Block {
    let one = |width, height, lugs: &[(i32, i32)]| Block {
        size: Cell::new(width, height),
        bodies: vec![(Cell::new(0, 0), Cell::new(width, height))],
        lugs: lugs.iter().map(|&(x, y)| Cell::new(x, y)).collect(),
    };
    match &part.kind {
        AssembledKind::Pickup(_) => one(20, 5, &[(6, 6), (14, 6)]),
        // Seen from behind with the lugs towards the viewer, the end of full clockwise is on the left.
        AssembledKind::Pot { .. } => one(10, 10, &[(8, 11), (5, 11), (2, 11), (11, 4), (-1, 4)]),
        AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. } => one(8, 4, &[(-1, 2), (9, 2)]),
        AssembledKind::Jack => one(8, 8, &[(-1, 2), (-1, 6)]),
        AssembledKind::Switch { switch, .. } => wafers(part, switch),
    }
}

/// Rows of lugs as they lie on the switch, two rows to a wafer.
fn wafers(part: &AssembledPart, switch: &Switch) -> Block {
    let rows = switch.rows();
    let columns = rows.iter().map(Vec::len).max().unwrap_or(1).max(3);
    let width = LUG_STEP * i32::try_from(columns).unwrap_or(1) + 1;
    let count = i32::try_from(rows.len().div_ceil(2)).unwrap_or(1).max(1);
    let top = |wafer: i32| wafer * (WAFER + BETWEEN_WAFERS);
    let bodies = (0..count).map(|wafer| (Cell::new(0, top(wafer)), Cell::new(width, top(wafer) + WAFER)));
    let mut lugs = vec![Cell::default(); part.lugs.len()];
    for (row, names) in rows.iter().enumerate() {
        let wafer = i32::try_from(row / 2).unwrap_or(0);
        let y = if row % 2 == 0 { top(wafer) - 1 } else { top(wafer) + WAFER + 1 };
        for (column, name) in names.iter().enumerate() {
            if let Some(lug) = part.lugs.iter().position(|known| known == name) {
                lugs[lug] = Cell::new(LUG_STEP * i32::try_from(column).unwrap_or(0) + 1, y);
            }
        }
    }
    Block { size: Cell::new(width, top(count - 1) + WAFER), bodies: bodies.collect(), lugs }
}
