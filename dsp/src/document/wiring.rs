//! Wirings as they are written: parts, and which lug is joined to which.

use serde::Serialize;

use super::problem::{ProblemKind, Problems, suggestion};
use super::reader::{Reader, Section};
use super::taper::Taper;
use crate::units::{self, Quantity};

/// A wiring document.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wiring {
    /// The document's path or preset name, for problems.
    pub file: String,
    /// What it is called.
    pub title: String,
    /// What it does, for people.
    pub about: String,
    /// In the order in which they are written.
    pub parts: Vec<Part>,
    /// In the order in which they are written.
    pub joints: Vec<Joint>,
    /// Where on the guitar a control's label sits: knob number, label.
    pub knobs: Vec<(u8, String)>,
}

/// One part of a wiring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Part {
    /// The name its lugs are called by.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// The line it is described on.
    pub line: usize,
    /// The document it is described in.
    pub file: String,
}

/// What a part is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub enum PartKind {
    /// The pickup selector: the name of its switch document.
    Selector {
        /// Preset name or path.
        switch: String,
    },
    /// A switch beside the selector.
    Switch {
        /// Preset name or path of its switch document.
        switch: String,
        /// Label of the control that moves it.
        control: String,
        /// The pot whose shaft carries it.
        on_pot: Option<String>,
    },
    /// A pot.
    Pot(Pot),
    /// A capacitor.
    Capacitor {
        /// In farads.
        capacitance: f64,
        /// Share of the value, 0 to 1.
        tolerance: f64,
    },
    /// A fixed resistor.
    Resistor {
        /// In ohms.
        resistance: f64,
        /// Share of the value, 0 to 1.
        tolerance: f64,
    },
}

/// A pot: lug 3 is the end that the wiper (2) reaches at full clockwise, 10 on the dial.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pot {
    /// Whole resistance of the track, in ohms.
    pub resistance: f64,
    /// How the resistance follows the shaft.
    pub taper: Taper,
    /// Whether the track is cut so that the pot is open at 10.
    pub no_load: bool,
    /// Label of the control that moves it.
    pub control: String,
    /// Share of the value, 0 to 1.
    pub tolerance: f64,
}

/// Lugs that are joined.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Joint {
    /// The net's name.
    pub name: String,
    /// Lugs as `part.lug`.
    pub lugs: Vec<String>,
    /// The line it is written on.
    pub line: usize,
    /// The document it is written in.
    pub file: String,
}

/// Share by which a pot may be off unless the document says otherwise (common practice, no source).
const POT_TOLERANCE: f64 = 0.2;
/// Share by which a capacitor may be off unless the document says otherwise (common practice, no source).
const CAPACITOR_TOLERANCE: f64 = 0.1;
/// Share by which a fixed resistor may be off unless the document says otherwise (common practice, no source).
const RESISTOR_TOLERANCE: f64 = 0.05;

impl Wiring {
    /// Reads a wiring document. `file` names it in problems.
    ///
    /// # Errors
    /// Everything that is wrong with it as a document; whether it can be built is told by
    /// [`super::Assembly::new`].
    pub fn read(file: &str, text: &str) -> Result<Self, Problems> {
        Reader::read(file, text, |top| {
            let title = top.text("title");
            let about = top.optional_text("about");
            let mut parts = Vec::new();
            parts.extend(top.table("selector").and_then(|section| read_selector(&section)));
            parts.extend(read_parts(top));
            let joints = read_joints(top);
            if joints.is_empty() {
                let mend = "add a [wires] table with a line for every joint";
                top.error(ProblemKind::MissingKey, top.line(), "nothing is joined to anything", mend);
            }
            let knobs = read_knobs(top);
            report_duplicates(top, &parts);
            Some(Self {
                file: file.to_string(),
                title: title?.value,
                about: about.map(|about| about.value).unwrap_or_default(),
                parts,
                joints,
                knobs,
            })
        })
    }

    /// The part of that name.
    pub fn part(&self, name: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.name == name)
    }
}

impl PartKind {
    /// Gives a pot, capacitor or resistor another value, written such as `220k` or `33n`.
    ///
    /// # Errors
    /// A sentence, when the text is no such value or the part has none.
    pub fn set_value(&mut self, text: &str) -> Result<(), String> {
        let (target, quantity) = match self {
            Self::Pot(pot) => (&mut pot.resistance, Quantity::Resistance),
            Self::Resistor { resistance, .. } => (resistance, Quantity::Resistance),
            Self::Capacitor { capacitance, .. } => (capacitance, Quantity::Capacitance),
            Self::Selector { .. } | Self::Switch { .. } => {
                return Err("a switch has no value".into());
            }
        };
        *target = units::parse(text, quantity).map_err(|error| error.to_string())?;
        Ok(())
    }
}

/// The parts of a wiring or an add-on, without the selector.
pub(super) fn read_parts(top: &Section<'_, '_>) -> Vec<Part> {
    let mut parts = Vec::new();
    for (table, read) in [
        ("pots", read_pot as fn(&Section<'_, '_>) -> Option<PartKind>),
        ("capacitors", read_capacitor),
        ("resistors", read_resistor),
        ("switches", read_switch),
    ] {
        for (name, section) in top.named_tables(table) {
            if name == "jack" || name == "selector" {
                let mend = "give the part another name; this one is taken";
                section.error(ProblemKind::DuplicateName, section.line(), format!("a part is called `{name}`"), mend);
            }
            if let Some(kind) = read(&section) {
                parts.push(Part { name, kind, line: section.line(), file: section.file().to_string() });
            }
        }
    }
    parts
}

fn read_selector(section: &Section<'_, '_>) -> Option<Part> {
    let kind = PartKind::Selector { switch: section.text("switch")?.value };
    Some(Part { name: "selector".into(), kind, line: section.line(), file: section.file().to_string() })
}

fn read_switch(section: &Section<'_, '_>) -> Option<PartKind> {
    let switch = section.text("switch");
    let control = section.text("control");
    let on_pot = section.optional_text("on-pot").map(|pot| pot.value);
    Some(PartKind::Switch { switch: switch?.value, control: control?.value, on_pot })
}

fn read_pot(section: &Section<'_, '_>) -> Option<PartKind> {
    let resistance = section.quantity("value", Quantity::Resistance);
    let taper = if section.has("taper") { read_taper(section) } else { Some(Taper::Audio) };
    let no_load = section.flag("no-load");
    let control = section.text("control");
    let tolerance = read_tolerance(section, POT_TOLERANCE);
    Some(PartKind::Pot(Pot { resistance: resistance?, taper: taper?, no_load, control: control?.value, tolerance }))
}

/// A pot's taper: the name of a law, or a list of points.
pub(super) fn read_taper(section: &Section<'_, '_>) -> Option<Taper> {
    if section.is_list("taper") {
        let points = section.pairs("taper", "pairs of travel and share, 0 to 1", |section, travel, share| {
            Some((section.parse_number("taper", travel)?, section.parse_number("taper", share)?))
        })?;
        let within = |x: f64| (0.0..=1.0).contains(&x);
        let ascending = points.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1);
        if points.len() >= 2 && ascending && points.iter().all(|&(x, y)| within(x) && within(y)) {
            return Some(Taper::Points(points));
        }
        let mend = "list at least two points [travel, share] between 0 and 1, each further than the last";
        section.error(ProblemKind::OutOfRange, section.line(), "the taper's points are no law", mend);
        return None;
    }
    let name = section.text("taper")?;
    let taper = Taper::named(&name.value);
    if taper.is_none() {
        let what = format!("`{}` is no taper{}", name.value, suggestion(&name.value, Taper::NAMES));
        section.error(
            ProblemKind::UnknownName,
            name.line,
            what,
            "write linear, audio, reverse-audio or a list of points",
        );
    }
    taper
}

fn read_capacitor(section: &Section<'_, '_>) -> Option<PartKind> {
    let capacitance = section.quantity("value", Quantity::Capacitance);
    let tolerance = read_tolerance(section, CAPACITOR_TOLERANCE);
    Some(PartKind::Capacitor { capacitance: capacitance?, tolerance })
}

fn read_resistor(section: &Section<'_, '_>) -> Option<PartKind> {
    let resistance = section.quantity("value", Quantity::Resistance);
    let tolerance = read_tolerance(section, RESISTOR_TOLERANCE);
    Some(PartKind::Resistor { resistance: resistance?, tolerance })
}

fn read_tolerance(section: &Section<'_, '_>, usual: f64) -> f64 {
    section.optional_quantity("tolerance", Quantity::Share).unwrap_or(usual)
}

/// The joints of a wiring or an add-on.
pub(super) fn read_joints(top: &Section<'_, '_>) -> Vec<Joint> {
    let mut joints = Vec::new();
    for (name, value) in top.entries("wires") {
        if let Some(lugs) = top.text_list(&name, value) {
            let line = lugs.line;
            let lugs = lugs.value.into_iter().map(|lug| lug.value).collect();
            joints.push(Joint { name, lugs, line, file: top.file().to_string() });
        }
    }
    joints
}

fn read_knobs(top: &Section<'_, '_>) -> Vec<(u8, String)> {
    let mut knobs = Vec::new();
    for (number, value) in top.entries("knobs") {
        let Some(label) = value.get_ref().as_str() else {
            top.wrong_type::<()>(&number, value, "a control's label in quotes");
            continue;
        };
        match number.parse::<u8>() {
            Ok(knob @ 1..=9) => knobs.push((knob, label.to_string())),
            _ => {
                let mend = "number the knobs from 1";
                top.error(ProblemKind::OutOfRange, top.line_of(value), format!("`{number}` is no knob's number"), mend);
            }
        }
    }
    knobs
}

fn report_duplicates(top: &Section<'_, '_>, parts: &[Part]) {
    for (i, part) in parts.iter().enumerate() {
        if parts[..i].iter().any(|earlier| earlier.name == part.name) {
            let what = format!("two parts are called `{}`", part.name);
            top.error(ProblemKind::DuplicateName, part.line, what, "give every part a name of its own");
        }
    }
}
