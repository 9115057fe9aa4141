//! The plot, the controls, the parts tray.

use super::BenchId;
use crate::editor::action::ControlId;

/// The response plot, 20 Hz to 20 kHz. Every point is frequency in hertz, level in dB.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Graph {
    /// What is drawn: "response at the jack, dB".
    pub title: String,
    /// Bench A and bench B.
    pub curves: [Vec<[f64; 2]>; 2],
    /// The circuit the take was recorded through.
    pub recorded: Vec<[f64; 2]>,
    /// B minus A, in dB.
    pub difference: Vec<[f64; 2]>,
    /// The take's spectrum, in dB of its own full scale; empty before anything was played.
    pub spectrum: Vec<[f64; 2]>,
    /// Tolerance band of each bench: frequency, least dB, most dB; empty where not computed.
    pub bands: [Vec<[f64; 3]>; 2],
    /// Level range to show, lowest and highest, in dB.
    pub range_db: [f64; 2],
}

/// A control that is grabbed.
#[derive(Debug, Clone, PartialEq)]
pub struct Control {
    /// Which one.
    pub id: ControlId,
    /// Its label: "volume", "selector", "cable".
    pub label: String,
    /// How it looks and moves.
    pub kind: ControlKind,
    /// Where it stands: selectors and switches by position from 1, knobs 0 to 10, dials 0 to 1 of their travel.
    pub value: f64,
    /// Where a double click puts it.
    pub reset: f64,
    /// Its value as text, for the number under it and for typing.
    pub text: String,
    /// Whether the sounding wiring uses it. An unused knob stays in its place, drawn faint.
    pub used: bool,
    /// What it does, in the trade's words.
    pub tip: String,
}

/// How a control looks and moves.
#[derive(Debug, Clone, PartialEq)]
pub enum ControlKind {
    /// The selector, with the sound of each position from 1 (bridge end).
    Selector(Vec<String>),
    /// A knob, 0 to 10.
    Knob,
    /// A two-way (or three-way) switch, with the name of each position from 1.
    Switch(Vec<String>),
    /// A value that is dialled or typed, such as cable or input; 0 to 1 of its travel.
    Dial,
}

/// The parts tray.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tray {
    /// Whose part lies in it, if any.
    pub part: Option<(BenchId, String)>,
    /// What that part is called on screen.
    pub label: String,
    /// The values laid out, in order.
    pub values: Vec<String>,
    /// Which of them is in the circuit, from 0; none when the part has its own value.
    pub step: Option<usize>,
    /// Parts that can be put there: bench, name, label.
    pub parts: Vec<(BenchId, String, String)>,
    /// The preferred series its values come from; none when they were typed.
    pub series: Option<TraySeries>,
}

impl Tray {
    /// The step at which the part has its own value.
    pub const OWN: f64 = -1.0;

    /// The step before the one that is in the circuit; before the first there is the part's own value.
    pub fn previous(&self) -> f64 {
        self.step.and_then(|step| step.checked_sub(1)).map_or(Self::OWN, |step| step as f64)
    }

    /// The step after the one that is in the circuit.
    pub fn next(&self) -> f64 {
        let next = self.step.map_or(0, |step| step + 1);
        next.min(self.values.len().saturating_sub(1)) as f64
    }
}

/// Preferred values after IEC 60063.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TraySeries {
    /// Six values a decade.
    E6,
    /// Twelve values a decade.
    E12,
    /// Twenty-four values a decade.
    E24,
}
