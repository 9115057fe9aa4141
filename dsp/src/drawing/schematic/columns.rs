//! Which symbols there are, and where each stands: signal from the pickups on the left to the jack on the right.

use super::super::canvas::Cell;
use super::symbols::{Symbol, capacitor, coil, jack, pole, pot, resistor};
use crate::document::{AssembledKind, AssembledPart, Assembly, Switch};
use crate::units::{self, Quantity};

/// One symbol of the schematic.
#[derive(Debug, Clone)]
pub(super) struct Stand {
    /// Index of its part in the assembly.
    pub part: usize,
    /// The part's lugs that it shows, in the order of the symbol's pins.
    pub lugs: Vec<usize>,
    pub symbol: Symbol,
    pub corner: Cell,
    column: usize,
}

/// Every symbol in its place, and the page's width and height.
pub(super) fn stand(assembly: &Assembly, spread: i32) -> (Vec<Stand>, Cell) {
    let mut stands: Vec<Stand> =
        assembly.parts.iter().enumerate().flat_map(|(i, part)| of(assembly, i, part)).collect();
    let (margin, gap, channel) = (5 + spread, 4 + spread, 6 + 2 * spread);
    let columns = 1 + stands.iter().map(|stand| stand.column).max().unwrap_or(0);
    let heights: Vec<i32> = (0..columns).map(|column| height(&stands, column, gap)).collect();
    let tallest = heights.iter().copied().max().unwrap_or(0);
    let mut x = margin;
    for (column, &tall) in heights.iter().enumerate() {
        let mut members: Vec<usize> = (0..stands.len()).filter(|&index| stands[index].column == column).collect();
        if members.is_empty() {
            continue;
        }
        // A switch stands right above the pot that carries it.
        members.sort_by_key(|&index| {
            let pot = carrier(assembly, &stands[index]);
            let first = pot.and_then(|pot| stands.iter().position(|stand| stand.part == pot)).unwrap_or(index);
            (level(assembly, &stands, first), first, pot.is_none(), index)
        });
        let mut y = margin + (tallest - tall) / 2;
        for &index in &members {
            stands[index].corner = Cell::new(x, y);
            y += stands[index].symbol.size.y + gap;
        }
        x += members.iter().map(|&index| stands[index].symbol.size.x).max().unwrap_or(0) + channel;
    }
    (stands, Cell::new(x - channel + margin + 1, tallest + 2 * margin + 4))
}

/// The pot whose shaft carries the switch of a stand.
pub(super) fn carrier(assembly: &Assembly, stand: &Stand) -> Option<usize> {
    match assembly.parts[stand.part].kind {
        AssembledKind::Switch { carrier, .. } => carrier,
        _ => None,
    }
}

/// The column of a pot: the last one before the jack for the one that feeds it.
fn pot_column(assembly: &Assembly, pot: usize) -> usize {
    if assembly.parts[pot].joints[1] == assembly.tip() { 4 } else { 2 }
}

fn height(stands: &[Stand], column: usize, gap: i32) -> i32 {
    let heights = stands.iter().filter(|stand| stand.column == column).map(|stand| stand.symbol.size.y + gap);
    (heights.sum::<i32>() - gap).max(0)
}

/// Mean height of what a symbol is joined to in the columns before its own; parts joined to nothing there stand last.
fn level(assembly: &Assembly, stands: &[Stand], index: usize) -> i32 {
    let this = &stands[index];
    let joint = |stand: &Stand, lug: usize| assembly.parts[stand.part].joints[lug];
    let own: Vec<usize> = this.lugs.iter().map(|&lug| joint(this, lug)).filter(|&on| on != Assembly::GROUND).collect();
    let mut heights = Vec::new();
    for other in stands.iter().filter(|other| other.column < this.column) {
        for (pin, &lug) in other.lugs.iter().enumerate() {
            if own.contains(&joint(other, lug)) {
                heights.push(other.corner.y + other.symbol.pins[pin].0.y);
            }
        }
    }
    let count = i32::try_from(heights.len()).unwrap_or(1);
    if heights.is_empty() { i32::MAX } else { heights.iter().sum::<i32>() / count }
}

/// The symbols of one part: one, or one for every pole of a switch.
fn of(assembly: &Assembly, part: usize, assembled: &AssembledPart) -> Vec<Stand> {
    let name = &assembled.name;
    let stand =
        |symbol: Symbol, column: usize, lugs: Vec<usize>| Stand { part, lugs, symbol, corner: Cell::default(), column };
    let written = |value: f64, quantity: Quantity| units::write(value, quantity);
    match &assembled.kind {
        AssembledKind::Pickup(pickup) => {
            let resistance = assembly.guitar.pickups[*pickup].coil.resistance;
            vec![stand(coil(name, &written(resistance, Quantity::Resistance)), 0, vec![0, 1])]
        }
        AssembledKind::Pot { pot: value, .. } => {
            let mut text = written(value.resistance, Quantity::Resistance);
            text += if value.no_load { ", no-load" } else { "" };
            vec![stand(pot(name, &text), pot_column(assembly, part), vec![0, 1, 2])]
        }
        AssembledKind::Capacitor { capacitance, .. } => {
            vec![stand(capacitor(name, &written(*capacitance, Quantity::Capacitance)), 3, grounded_last(assembled))]
        }
        AssembledKind::Resistor { resistance, .. } => {
            vec![stand(resistor(name, &written(*resistance, Quantity::Resistance)), 3, grounded_last(assembled))]
        }
        AssembledKind::Jack => vec![stand(jack(name), 5, vec![0, 1])],
        AssembledKind::Switch { switch, carrier, .. } => poles(assembly, assembled, switch)
            .into_iter()
            .map(|(commons, throws, mirrored, title)| {
                let names = |lugs: &[usize]| lugs.iter().map(|&lug| assembled.lugs[lug].clone()).collect::<Vec<_>>();
                let symbol = pole(&title, &names(&commons), &names(&throws), mirrored, carrier.is_some());
                let column = carrier.map_or(1, |pot| pot_column(assembly, pot));
                stand(symbol, column, commons.into_iter().chain(throws).collect())
            })
            .collect(),
    }
}

/// Lugs of a part with two equal leads, the grounded one below.
fn grounded_last(part: &AssembledPart) -> Vec<usize> {
    let flipped = part.joints[0] == Assembly::GROUND && part.joints[1] != Assembly::GROUND;
    if flipped { vec![1, 0] } else { vec![0, 1] }
}

type Pole = (Vec<usize>, Vec<usize>, bool, String);

/// Commons, throws, whether throws are on the right, and the title of every symbol of a switch: one for every pole, or one
/// for all where a contact reaches from pole to pole. Poles with nothing soldered to them are left out.
fn poles(assembly: &Assembly, part: &AssembledPart, switch: &Switch) -> Vec<Pole> {
    let index = |name: &String| part.lugs.iter().position(|lug| lug == name);
    let pole_of = |name: &String| switch.poles.iter().position(|pole| pole.lugs.contains(name));
    let reaches = |group: &Vec<String>| group.windows(2).any(|pair| pole_of(&pair[0]) != pole_of(&pair[1]));
    let across = switch.positions.iter().flat_map(|position| &position.joined).any(reaches);
    let common = |pole: &crate::document::Pole| pole.lugs.first().and_then(index);
    let throws = |pole: &crate::document::Pole| pole.lugs.iter().skip(1).filter_map(index).collect::<Vec<_>>();
    let groups: Vec<(Vec<usize>, Vec<usize>, String)> = match across {
        true => {
            let commons = switch.poles.iter().filter_map(common).collect();
            vec![(commons, switch.poles.iter().flat_map(throws).collect(), part.name.clone())]
        }
        false => switch
            .poles
            .iter()
            .map(|pole| {
                let title =
                    if switch.poles.len() == 1 { part.name.clone() } else { format!("{} {}", part.name, pole.name) };
                (common(pole).into_iter().collect(), throws(pole), title)
            })
            .collect(),
    };
    let used = |lugs: &[usize]| lugs.iter().any(|&lug| is_shared(assembly, part.joints[lug]));
    let groups = groups.into_iter().filter(|(commons, throws, _)| used(commons) || used(throws));
    let fed = |lugs: &[usize]| lugs.iter().filter(|&&lug| is_fed(assembly, part.joints[lug])).count();
    groups
        .map(|(commons, throws, title)| {
            let mirrored = fed(&throws) == 0 || (fed(&commons) > 0 && 2 * fed(&throws) < throws.len());
            (commons, throws, mirrored, title)
        })
        .collect()
}

/// Whether more than one lug sits on a joint.
pub(super) fn is_shared(assembly: &Assembly, joint: usize) -> bool {
    assembly.parts.iter().flat_map(|part| &part.joints).filter(|&&other| other == joint).count() > 1
}

/// Whether a pickup's lug sits on a joint that is not ground.
fn is_fed(assembly: &Assembly, joint: usize) -> bool {
    let pickups = assembly.parts.iter().filter(|part| matches!(part.kind, AssembledKind::Pickup(_)));
    joint != Assembly::GROUND && pickups.flat_map(|part| &part.joints).any(|&other| other == joint)
}
