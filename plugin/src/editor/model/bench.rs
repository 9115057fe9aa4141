//! A bench as it is shown.

use std::sync::Arc;

use dryfit_dsp::drawing::{Drawing, Live};

use super::Trust;
use super::faults::FaultsView;
use super::notice::Severity;
use super::sounds::SoundsView;

/// One bench.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BenchView {
    /// The wiring's title.
    pub title: String,
    /// The wiring's name among the choices.
    pub wiring: String,
    /// What it is and what it needs, for people.
    pub about: String,
    /// Whether values or text differ from the document the wiring came from.
    pub changed: bool,
    /// Add-ons that can be fitted.
    pub add_ons: Vec<AddOnView>,
    /// Parts whose values can be edited.
    pub parts: Vec<PartRow>,
    /// One row per position.
    pub positions: Vec<PositionRow>,
    /// Which positions are nearest to each other: "nearest pair: 2 and 4, 1.9 dB apart".
    pub nearest: String,
    /// What it does in every position, read off its circuit, once it is.
    pub sounds: SoundsView,
    /// What a meter should read, and what readings say.
    pub faults: FaultsView,
    /// The wiring drawn, once it is.
    pub drawn: Option<DrawnWiring>,
    /// The wiring as a net list.
    pub nets: Vec<Net>,
    /// What the selector and the switches join where they stand.
    pub contacts: Vec<Contact>,
    /// How far this bench can be trusted in this position.
    pub trust: Trust,
    /// Whether it is being worked out and the last good state still sounds.
    pub working: bool,
    /// Its document as text.
    pub document: DocumentView,
}

/// An add-on.
#[derive(Debug, Clone, PartialEq)]
pub struct AddOnView {
    /// Its name among the add-ons.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Whether it is fitted.
    pub fitted: bool,
    /// Why it cannot be fitted here, if so.
    pub refused: Option<String>,
}

/// A part of a wiring.
#[derive(Debug, Clone, PartialEq)]
pub struct PartRow {
    /// The name its lugs are called by; actions use it.
    pub name: String,
    /// What it is called on screen: "tone capacitor".
    pub label: String,
    /// Its value: "47n".
    pub value: String,
    /// What else is to be known: "audio, no-load", "10 %".
    pub kind: String,
    /// Whether the other bench has another value there.
    pub differs: bool,
    /// Whether it lies in the parts tray.
    pub in_tray: bool,
}

/// A position of the selector in numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct PositionRow {
    /// From 1 (bridge end).
    pub position: u8,
    /// What is on: "bridge + middle".
    pub sound: String,
    /// Frequency of the resonance: "3.3 kHz"; empty where there is none.
    pub resonance: String,
    /// Level against position 1: "+0.2 dB".
    pub level: String,
    /// Whether hum cancels: "cancels", "partly", "there".
    pub hum: String,
    /// All of its figures in sentences.
    pub details: String,
    /// Whether the selector stands here.
    pub here: bool,
    /// A remark, such as "hardly told apart from 2".
    pub remark: Option<String>,
}

/// A wiring, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnWiring {
    /// The parts from their lug side.
    pub pictorial: Arc<Drawing>,
    /// The same in symbols.
    pub schematic: Arc<Drawing>,
    /// What carries the signal where the controls stand.
    pub live: Arc<Live>,
}

/// Lugs that are joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Net {
    /// Its number, by which the drawing chooses its colour.
    pub joint: usize,
    /// The joint's name in the document.
    pub name: String,
    /// Its lugs: "volume.3".
    pub lugs: Vec<String>,
    /// What is on it.
    pub role: NetRole,
}

/// What is on a net where the controls stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum NetRole {
    /// On the way from a sounding pickup to the jack.
    Live,
    /// Not on that way now.
    #[default]
    Idle,
    /// Ground.
    Ground,
}

/// What one pole of a switch joins.
#[derive(Debug, Clone, PartialEq)]
pub struct Contact {
    /// The switch: "selector".
    pub switch: String,
    /// The lugs it joins: "a, a1".
    pub lugs: Vec<String>,
    /// Whether the live path runs through it.
    pub live: bool,
}

/// A document as text.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DocumentView {
    /// Where it comes from: a preset's name, a path, or "not saved".
    pub from: String,
    /// The text.
    pub text: String,
    /// Rises whenever the text is changed by anything but typing into the box (opened, pasted, undone, other wiring).
    pub revision: u64,
    /// What is wrong, by line.
    pub problems: Vec<LineProblem>,
    /// Whether the text is what sounds; else the last good state sounds.
    pub sounding: bool,
}

/// A problem in a document.
#[derive(Debug, Clone, PartialEq)]
pub struct LineProblem {
    /// From 1, if it has a place.
    pub line: Option<usize>,
    /// How much it matters.
    pub severity: Severity,
    /// What is wrong.
    pub what: String,
    /// What would mend it.
    pub mend: String,
}
