//! The wire list.

use dryfit_dsp::document::Assembly;
use dryfit_dsp::drawing::{Drawing, DrawnKind, LIGHT, LugPlace};
use serde::Serialize;

/// One wire, in soldering order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct WireRow {
    /// Its number in the drawing.
    pub number: usize,
    /// Lug where it begins.
    pub from: String,
    /// Lug where it ends.
    pub to: String,
    /// The net.
    pub net: String,
    /// Colour of the net in the drawing.
    pub colour: String,
    /// What to know about it.
    pub note: String,
}

/// Every wire as numbered in the drawing.
pub(super) fn wires(assembly: &Assembly, drawing: &Drawing) -> Vec<WireRow> {
    let row = |(index, wire): (usize, &dryfit_dsp::drawing::Wire)| {
        let ends = [wire.from, wire.to].map(|end| end.unwrap_or(LugPlace { part: 0, lug: 0 }));
        let [red, green, blue] = LIGHT.ink(wire.joint).colour;
        WireRow {
            number: index + 1,
            from: name(drawing, ends[0]),
            to: name(drawing, ends[1]),
            net: assembly.joints[wire.joint].clone(),
            colour: format!("#{red:02x}{green:02x}{blue:02x}"),
            note: note(drawing, ends),
        }
    };
    drawing.wires.iter().enumerate().map(row).collect()
}

fn name(drawing: &Drawing, place: LugPlace) -> String {
    let lug = &drawing.lug(place).name;
    match lug.strip_suffix(".case") {
        Some(part) if drawing.parts[place.part].kind == DrawnKind::Pot => format!("case of {part}"),
        _ => lug.clone(),
    }
}

fn note(drawing: &Drawing, ends: [LugPlace; 2]) -> String {
    let is = |kind: DrawnKind| ends.iter().any(|end| drawing.parts[end.part].kind == kind);
    match () {
        () if is(DrawnKind::Pickup) => "lead of the pickup".into(),
        () if is(DrawnKind::Capacitor) || is(DrawnKind::Resistor) => "lead of the part itself, in sleeving".into(),
        () if is(DrawnKind::Jack) => String::new(),
        () if ends[0].part == ends[1].part => "jumper on the part".into(),
        () => String::new(),
    }
}
