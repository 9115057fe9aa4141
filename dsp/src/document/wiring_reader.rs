//! Reads wiring documents, and the parts and joints of add-ons.

use super::limits;
use super::problem::{ProblemKind, Problems, shortened};
use super::reader::Reader;
use super::section::Section;
use super::suggestion::suggestion;
use super::taper::Taper;
use super::wiring::{Joint, Part, PartKind, Pot, Wiring};
use crate::units::Quantity;

/// Share by which a pot may be off unless the document says otherwise (common practice, no source).
const POT_TOLERANCE: f64 = 0.2;
/// Share by which a capacitor may be off unless the document says otherwise (common practice, no source).
const CAPACITOR_TOLERANCE: f64 = 0.1;
/// Share by which a fixed resistor may be off unless the document says otherwise (common practice, no source).
const RESISTOR_TOLERANCE: f64 = 0.05;
/// Stands in for a value that could not be read, so that the rest of the document is judged; nothing is ever heard of it.
const UNREAD: f64 = 1.0;
/// Most knobs of a guitar.
const KNOBS: u8 = 6;

impl Wiring {
    /// Reads a wiring document. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it as a document; whether it can be built is told by
    /// [`super::Assembly::new`].
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, read_wiring)
    }

    /// The same, with stand-ins for values that could not be read, so that its joints can be judged all the same.
    pub(super) fn read_despite_errors(file: &str, text: &str) -> (Option<Self>, Problems) {
        Reader::read_despite_errors(file, text, read_wiring)
    }
}

fn read_wiring(top: &Section<'_, '_>) -> Option<Wiring> {
    let title = top.text("title");
    let about = top.optional_text("about");
    let mut parts = Vec::new();
    parts.extend(top.table("selector").map(|section| read_selector(&section)));
    parts.extend(read_parts(top));
    let joints = read_joints(top);
    if top.lacks("wires") {
        report_no_joints(top);
    }
    let knobs = read_knobs(top, &parts);
    Some(Wiring {
        file: top.file().to_string(),
        title: title.map(|title| title.value).unwrap_or_default(),
        about: about.map(|about| about.value).unwrap_or_default(),
        parts,
        joints,
        knobs,
    })
}

fn report_no_joints(top: &Section<'_, '_>) {
    let mend = "add a table under a heading [wires], with a line for every joint";
    top.error(ProblemKind::MissingKey, top.line_of_key("wires"), "nothing is joined to anything", mend);
}

/// The parts of a wiring or an add-on, without the selector.
pub(super) fn read_parts(top: &Section<'_, '_>) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for (table, read) in [
        ("pots", read_pot as fn(&Section<'_, '_>) -> PartKind),
        ("capacitors", read_capacitor),
        ("resistors", read_resistor),
        ("switches", read_switch),
    ] {
        for (name, section) in top.named_tables(table, limits::PARTS) {
            section.check_name(&name, section.line());
            report_taken(&section, &name, &parts);
            let kind = read(&section);
            parts.push(Part { name, kind, line: section.line(), file: section.file().to_string() });
        }
    }
    if let Some(part) = parts.get(limits::PARTS) {
        let what = format!("{} parts are more than the {} that are read", parts.len(), limits::PARTS);
        top.error(ProblemKind::TooLarge, part.line, what, "leave some out");
        parts.truncate(limits::PARTS);
    }
    parts
}

fn report_taken(section: &Section<'_, '_>, name: &str, parts: &[Part]) {
    let taken = if name == "jack" || name == "selector" {
        format!("`{name}` is the name of the guitar's own {name}")
    } else if let Some(earlier) = parts.iter().find(|part| part.name == name) {
        format!("two parts are called `{name}`; the other is on line {}", earlier.line)
    } else {
        return;
    };
    section.error(ProblemKind::DuplicateName, section.line(), taken, "give every part a name of its own");
}

fn read_selector(section: &Section<'_, '_>) -> Part {
    let kind = PartKind::Selector { switch: section.document_name("switch").unwrap_or_default() };
    Part { name: "selector".into(), kind, line: section.line(), file: section.file().to_string() }
}

fn read_switch(section: &Section<'_, '_>) -> PartKind {
    let switch = section.document_name("switch").unwrap_or_default();
    let control = section.label("control").map(|control| control.value).unwrap_or_default();
    PartKind::Switch { switch, control, on_pot: section.optional_text("on-pot").map(|pot| pot.value) }
}

fn read_pot(section: &Section<'_, '_>) -> PartKind {
    let resistance = section.quantity("value", Quantity::Resistance).unwrap_or(UNREAD);
    let taper = if section.has("taper") { read_taper(section) } else { None }.unwrap_or(Taper::Audio);
    let no_load = section.flag("no-load");
    let control = section.label("control").map(|control| control.value).unwrap_or_default();
    PartKind::Pot(Pot { resistance, taper, no_load, control, tolerance: read_tolerance(section, POT_TOLERANCE) })
}

/// A pot's taper: the name of a law, or a list of points.
pub(super) fn read_taper(section: &Section<'_, '_>) -> Option<Taper> {
    if section.is_list("taper") {
        let points = section.pairs("taper", "pairs such as [0.5, 0.15]", |section, travel, share| {
            Some((section.parse_number("taper", travel)?, section.parse_number("taper", share)?))
        })?;
        let within = |x: f64| (0.0..=1.0).contains(&x);
        let ascending = points.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1);
        if points.len() >= 2 && ascending && points.iter().all(|&(x, y)| within(x) && within(y)) {
            return Some(Taper::Points(points));
        }
        let mend = "list two points [travel, share] or more, all between 0 and 1, neither ever falling";
        section.error(ProblemKind::OutOfRange, section.line_of_key("taper"), "the taper's points are no taper", mend);
        return None;
    }
    let name = section.text("taper")?;
    let taper = Taper::named(&name.value);
    if taper.is_none() {
        let what = format!("`{}` is no taper{}", shortened(&name.value), suggestion(&name.value, Taper::NAMES));
        let mend = "write linear, audio, reverse-audio, or a list of points [travel, share]";
        section.error(ProblemKind::UnknownName, name.line, what, mend);
    }
    taper
}

fn read_capacitor(section: &Section<'_, '_>) -> PartKind {
    let capacitance = section.quantity("value", Quantity::Capacitance).unwrap_or(UNREAD);
    PartKind::Capacitor { capacitance, tolerance: read_tolerance(section, CAPACITOR_TOLERANCE) }
}

fn read_resistor(section: &Section<'_, '_>) -> PartKind {
    let resistance = section.quantity("value", Quantity::Resistance).unwrap_or(UNREAD);
    PartKind::Resistor { resistance, tolerance: read_tolerance(section, RESISTOR_TOLERANCE) }
}

fn read_tolerance(section: &Section<'_, '_>, usual: f64) -> f64 {
    let tolerance = section.optional_quantity("tolerance", Quantity::Share).unwrap_or(usual);
    if tolerance >= 1.0 {
        let what = "a part that is off by all of its value can be anything";
        section.error(ProblemKind::OutOfRange, section.line_of_key("tolerance"), what, "write it such as \"20 %\"");
    }
    tolerance
}

/// The joints of a wiring or an add-on.
pub(super) fn read_joints(top: &Section<'_, '_>) -> Vec<Joint> {
    let mut joints = Vec::new();
    for (name, value) in top.entries("wires", limits::JOINTS) {
        top.check_name(&name, top.line_of(value));
        if let Some(lugs) = top.text_list(&name, value) {
            let line = lugs.line;
            let lugs = lugs.value.into_iter().map(|lug| lug.value).collect();
            joints.push(Joint { name, lugs, line, file: top.file().to_string() });
        }
    }
    joints
}

fn read_knobs(top: &Section<'_, '_>, parts: &[Part]) -> Vec<(u8, String)> {
    let mut knobs: Vec<(u8, String)> = Vec::new();
    for (number, value) in top.entries("knobs", limits::NAME) {
        let line = top.line_of(value);
        let Some(label) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&number, value, "the label of a control in quotes");
            continue;
        };
        let Some(knob) = (1..=KNOBS).find(|knob| knob.to_string() == number) else {
            let what = format!("`{}` is no knob's number", shortened(&number));
            top.error(ProblemKind::OutOfRange, line, what, &format!("number the knobs 1 to {KNOBS}"));
            continue;
        };
        if let Some((other, _)) = knobs.iter().find(|(_, known)| known == label) {
            let what = format!("knobs {other} and {knob} are both `{}`", shortened(label));
            top.error(ProblemKind::DuplicateName, line, what, "name every control once");
        }
        report_unused(top, knob, label, line, parts);
        knobs.push((knob, label.to_string()));
    }
    knobs
}

/// Reports a knob whose label no pot has.
fn report_unused(top: &Section<'_, '_>, knob: u8, label: &str, line: usize, parts: &[Part]) {
    let controls = || {
        parts.iter().filter_map(|part| match &part.kind {
            PartKind::Pot(pot) => Some(pot.control.as_str()),
            _ => None,
        })
    };
    if !controls().any(|control| control == label) {
        let near = suggestion(label, controls());
        let what = format!("knob {knob} is to be `{}`, but no pot has that control{near}", shortened(label));
        top.error(ProblemKind::UnusedControl, line, what, "write the `control` of one of the pots");
    }
}
