//! Where on the page each part lies.

use super::super::canvas::Cell;
use super::super::geometry::{DrawnPart, Text};
use super::blocks::{Block, block};
use super::outlines;
use crate::document::{AssembledKind, AssembledPart, Assembly};

/// A page with every part in its place.
#[derive(Debug, Clone)]
pub(super) struct Page {
    pub width: i32,
    pub height: i32,
    blocks: Vec<Block>,
    /// Upper left corner of each part.
    corners: Vec<Cell>,
}

/// Widest row before another is begun, in nodes: what can still be read on a sheet of A4 laid across.
const WIDEST: i32 = 104;

impl Page {
    /// A page with more room between parts the higher `spread` is.
    pub fn new(assembly: &Assembly, spread: i32) -> Self {
        let blocks: Vec<Block> = assembly.parts.iter().map(block).collect();
        let mut page = Self { width: 0, height: 0, corners: vec![Cell::default(); blocks.len()], blocks };
        let (margin, gap, channel) = (6 + spread, 6 + spread, 7 + spread);
        let rows: Vec<Vec<usize>> = page.rows(assembly).into_iter().flat_map(|row| page.broken(&row, gap)).collect();
        let widest = rows.iter().map(|row| page.length(row, gap)).max().unwrap_or(0);
        page.width = widest + 2 * margin + 1;
        let mut y = margin;
        for row in &rows {
            let mut x = margin + (widest - page.length(row, gap)) / 2;
            for &part in row {
                page.corners[part] = Cell::new(x, y);
                x += page.blocks[part].size.x + gap;
            }
            y += row.iter().map(|&part| page.blocks[part].size.y).max().unwrap_or(0) + channel;
        }
        page.height = y - channel + margin + 1;
        page
    }

    /// Where every lug of every part is.
    pub fn lug_cells(&self) -> Vec<Vec<Cell>> {
        let place = |(block, corner): (&Block, &Cell)| {
            block.lugs.iter().map(|lug| corner.moved(lug.x, lug.y)).collect::<Vec<_>>()
        };
        self.blocks.iter().zip(&self.corners).map(place).collect()
    }

    /// Every part as it is drawn, and the texts on it.
    pub fn parts(&self, assembly: &Assembly) -> (Vec<DrawnPart>, Vec<Text>) {
        let mut texts = Vec::new();
        let draw = |((part, block), corner): ((&AssembledPart, &Block), &Cell)| {
            let (drawn, words) = outlines::draw(assembly, part, block, *corner);
            texts.extend(words);
            drawn
        };
        let parts = assembly.parts.iter().zip(&self.blocks).zip(&self.corners).map(draw).collect();
        (parts, texts)
    }

    /// Pickups from neck to bridge; selector, pots as the knobs sit, jack; small parts in the order of what they hang on.
    fn rows(&self, assembly: &Assembly) -> Vec<Vec<usize>> {
        let of = |wanted: &dyn Fn(&AssembledPart) -> bool| -> Vec<usize> {
            (0..assembly.parts.len()).filter(|&index| wanted(&assembly.parts[index])).collect()
        };
        let mut pickups = of(&|part| matches!(part.kind, AssembledKind::Pickup(_)));
        pickups.sort_by(|&a, &b| distance(assembly, b).total_cmp(&distance(assembly, a)));
        let mut middle = of(&|part| matches!(part.kind, AssembledKind::Switch { index: None, .. }));
        let mut pots = of(&|part| matches!(part.kind, AssembledKind::Pot { .. }));
        pots.sort_by_key(|&index| match assembly.parts[index].kind {
            AssembledKind::Pot { knob, .. } => (knob, index),
            _ => (0, index),
        });
        middle.extend(pots);
        middle.extend(of(&|part| part.kind == AssembledKind::Jack));
        let mut small = of(&|part| {
            let small = matches!(part.kind, AssembledKind::Capacitor { .. } | AssembledKind::Resistor { .. });
            small || matches!(part.kind, AssembledKind::Switch { index: Some(_), .. })
        });
        let place = |part: usize| middle.iter().position(|&other| other == part);
        small.sort_by_key(|&index| (hangs_on(assembly, index, &place), index));
        [pickups, middle, small].into_iter().filter(|row| !row.is_empty()).collect()
    }

    /// A row broken where it is too long.
    fn broken(&self, row: &[usize], gap: i32) -> Vec<Vec<usize>> {
        let mut rows: Vec<Vec<usize>> = vec![Vec::new()];
        for &part in row {
            let last = rows.last_mut().expect("there is always a row");
            last.push(part);
            if self.length(last, gap) > WIDEST + 6 * gap && last.len() > 1 {
                last.pop();
                rows.push(vec![part]);
            }
        }
        rows
    }

    fn length(&self, row: &[usize], gap: i32) -> i32 {
        let widths: i32 = row.iter().map(|&part| self.blocks[part].size.x).sum();
        widths + gap * (i32::try_from(row.len()).unwrap_or(1) - 1)
    }
}

fn distance(assembly: &Assembly, index: usize) -> f64 {
    match assembly.parts[index].kind {
        AssembledKind::Pickup(pickup) => assembly.guitar.pickups[pickup].distance_low,
        _ => 0.0,
    }
}

/// Mean place, in hundredths, of the parts that share a joint with this one, ground apart.
fn hangs_on(assembly: &Assembly, index: usize, place: &dyn Fn(usize) -> Option<usize>) -> usize {
    let joints = &assembly.parts[index].joints;
    let mut places = Vec::new();
    for (other, part) in assembly.parts.iter().enumerate() {
        let shared = part.joints.iter().filter(|joint| **joint != Assembly::GROUND && joints.contains(joint)).count();
        places.extend(std::iter::repeat_n(place(other), shared).flatten());
    }
    if places.is_empty() { usize::MAX } else { 100 * places.iter().sum::<usize>() / places.len() }
}
