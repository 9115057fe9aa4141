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
    /// The switch that each pot carries.
    carried: Vec<Option<usize>>,
    /// From a pot to the switch that it carries, in nodes.
    shaft: i32,
}

/// On which side of a pot the switch stands that it carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Right,
    Left,
}

/// Widest row before another is begun, in nodes: what can still be read on a sheet of A4 laid across.
const WIDEST: i32 = 104;
/// How much lower than a pot the switch beside it stands, in nodes: so the shaft passes under the lug of the pot's case.
const LOWER: i32 = 4;

impl Page {
    /// A page with more room between parts the higher `spread` is, and switches on that side of the pots that carry them.
    pub fn new(assembly: &Assembly, spread: i32, side: Side) -> Self {
        let blocks: Vec<Block> = assembly.parts.iter().map(block).collect();
        let corners = vec![Cell::default(); blocks.len()];
        let mut page = Self { width: 0, height: 0, corners, blocks, carried: carried(assembly), shaft: 5 + spread };
        let (margin, gap, channel) = (6 + spread, 6 + spread, 7 + spread);
        let rows: Vec<Vec<usize>> = page.rows(assembly).into_iter().flat_map(|row| page.broken(&row, gap)).collect();
        let widest = rows.iter().map(|row| page.length(row, gap)).max().unwrap_or(0);
        page.width = widest + 2 * margin + 1;
        let mut y = margin;
        for row in &rows {
            let mut x = margin + (widest - page.length(row, gap)) / 2;
            for &part in row {
                page.corners[part] = Cell::new(x, y);
                if let Some(switch) = page.carried[part] {
                    let width = |part: usize| page.blocks[part].size.x + page.shaft;
                    let (pot, beside) = if side == Side::Right { (0, width(part)) } else { (width(switch), 0) };
                    (page.corners[part], page.corners[switch]) =
                        (Cell::new(x + pot, y), Cell::new(x + beside, y + LOWER));
                }
                x += page.across(part) + gap;
            }
            y += row.iter().map(|&part| page.down(part)).max().unwrap_or(0) + channel;
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
            let (mut drawn, words) = outlines::draw(assembly, part, block, *corner);
            if let AssembledKind::Switch { carrier: Some(pot), .. } = part.kind {
                outlines::shaft(&mut drawn, self.corners[pot], self.blocks[pot].size.x);
            }
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
            small || matches!(part.kind, AssembledKind::Switch { index: Some(_), carrier: None, .. })
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
        let widths: i32 = row.iter().map(|&part| self.across(part)).sum();
        widths + gap * (i32::try_from(row.len()).unwrap_or(1) - 1)
    }

    /// Width of a part with the switch that it carries.
    fn across(&self, part: usize) -> i32 {
        self.blocks[part].size.x + self.carried[part].map_or(0, |switch| self.shaft + self.blocks[switch].size.x)
    }

    /// Height of both.
    fn down(&self, part: usize) -> i32 {
        let below = self.carried[part].map_or(0, |switch| LOWER + self.blocks[switch].size.y);
        self.blocks[part].size.y.max(below)
    }
}

/// By part: the switch that it carries.
fn carried(assembly: &Assembly) -> Vec<Option<usize>> {
    let carrier = |part: &AssembledPart| match part.kind {
        AssembledKind::Switch { carrier, .. } => carrier,
        _ => None,
    };
    let switch_on = |pot: usize| assembly.parts.iter().position(|part| carrier(part) == Some(pot));
    (0..assembly.parts.len()).map(switch_on).collect()
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
