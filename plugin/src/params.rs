//! What the host may automate, save and show.
//!
//! Ids never change: they tie a project's automation to a parameter.

use std::sync::{Arc, RwLock};

use dryfit_dsp::conversion::{Controls, Load};
use dryfit_dsp::engine::{Listen, Scene};
use nih_plug::params::persist::PersistentField;
use nih_plug::plugin::ParamValue;
use nih_plug::prelude::*;

use crate::compile::Desk;
use crate::editor::Memory;
use crate::session::Bench;
use crate::text;

/// Every parameter, and the project that is saved with them.
#[derive(Params)]
pub struct Parameters {
    /// The bench's documents.
    #[persist = "project"]
    project: SavedProject,
    /// What the screen keeps: theme, what is drawn, which bench is in front.
    #[persist = "screen"]
    pub screen: Arc<RwLock<Memory>>,
    /// What is heard.
    #[id = "listen"]
    pub listen: EnumParam<Heard>,
    /// Selector position, from 1 (bridge end).
    #[id = "selector"]
    pub selector: IntParam,
    /// First knob of the guitar.
    #[id = "knob-1"]
    pub knob_1: FloatParam,
    /// Second knob.
    #[id = "knob-2"]
    pub knob_2: FloatParam,
    /// Third knob.
    #[id = "knob-3"]
    pub knob_3: FloatParam,
    /// First switch beside the selector.
    #[id = "switch-1"]
    pub switch_1: IntParam,
    /// Second switch.
    #[id = "switch-2"]
    pub switch_2: IntParam,
    /// Cable capacitance, in picofarads.
    #[id = "cable"]
    pub cable: FloatParam,
    /// Input resistance, in ohms.
    #[id = "input"]
    pub input: FloatParam,
    /// Which value of the parts tray is in the circuit, from 1; 0 is the part's own.
    #[id = "tray-step"]
    pub tray_step: IntParam,
    /// Whether A and B are brought to the loudness of dry.
    #[id = "loudness-match"]
    pub loudness_match: BoolParam,
    /// Whether notes are followed where another pickup than the recorded one sounds.
    #[id = "note-following"]
    pub note_following: BoolParam,
    /// Whether following looks ahead of what is heard, which costs latency. Latency is no matter of a moment, so a host does not
    /// automate it.
    #[id = "look-ahead"]
    pub look_ahead: BoolParam,
    /// Gain of whatever is heard, in dB.
    #[id = "output"]
    pub output: FloatParam,
    /// Counts edits of the documents, so that the host learns that its project changed.
    #[id = "revision"]
    pub revision: IntParam,
}

/// What is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Enum)]
pub enum Heard {
    /// The take as it is.
    #[id = "dry"]
    #[name = "Dry"]
    Dry,
    /// Bench A.
    #[id = "a"]
    A,
    /// Bench B.
    #[id = "b"]
    B,
}

impl Heard {
    /// The bench that is heard, if it is one.
    pub fn bench(self) -> Option<Bench> {
        match self {
            Self::Dry => None,
            Self::A => Some(Bench::A),
            Self::B => Some(Bench::B),
        }
    }
}

impl Parameters {
    /// Selector positions that can be automated.
    pub const POSITIONS: i32 = 6;
    /// Positions of a switch that can be automated.
    pub const SWITCH_POSITIONS: i32 = 3;
    /// Most output gain, up or down, in dB.
    pub const OUTPUT_DB: f32 = 24.0;
    /// Edits that are counted before the count begins anew. Few, because some hosts list the text of every step.
    pub const REVISIONS: i32 = 127;

    /// For the project on a desk, whose positions and tray values are the texts of selector and tray step.
    pub fn new(desk: &Arc<Desk>) -> Self {
        let switch = |name| IntParam::new(name, 1, IntRange::Linear { min: 1, max: Self::SWITCH_POSITIONS });
        Self {
            project: SavedProject(desk.clone()),
            screen: Arc::default(),
            listen: EnumParam::new("Listen", Heard::A),
            selector: selector(desk),
            knob_1: knob("Knob 1"),
            knob_2: knob("Knob 2"),
            knob_3: knob("Knob 3"),
            switch_1: switch("Switch 1"),
            switch_2: switch("Switch 2"),
            cable: cable(),
            input: input(),
            tray_step: tray_step(desk),
            loudness_match: BoolParam::new("Loudness match", true),
            note_following: BoolParam::new("Note following", false),
            look_ahead: BoolParam::new("Look ahead", false).non_automatable(),
            output: output(),
            revision: IntParam::new("Revision", 0, IntRange::Linear { min: 0, max: Self::REVISIONS }).hide(),
        }
    }

    /// The knobs, in the order of the guitar.
    pub fn knobs(&self) -> [&FloatParam; 3] {
        [&self.knob_1, &self.knob_2, &self.knob_3]
    }

    /// The switches beside the selector.
    pub fn switches(&self) -> [&IntParam; 2] {
        [&self.switch_1, &self.switch_2]
    }

    /// Where the controls stand. A host's single precision is taken to the decimal number it means, so that a knob at 3.3
    /// is the same number as in a document.
    pub fn controls(&self) -> Controls {
        let mut controls =
            Controls { position: whole(&self.selector), step: whole(&self.tray_step), ..Controls::default() };
        for (place, knob) in controls.knobs.iter_mut().zip(self.knobs()) {
            *place = text::meant(knob.value(), 1e4).clamp(0.0, 10.0);
        }
        for (place, switch) in controls.switches.iter_mut().zip(self.switches()) {
            *place = whole(switch);
        }
        controls.load = Load {
            cable: text::significant(self.cable.value(), text::CABLE_PICOFARADS) / 1e12,
            input: text::significant(self.input.value(), text::INPUT_OHMS),
        };
        controls
    }

    /// Everything the engine wants to know. `blind` is what a blind comparison makes heard, whatever `listen` says;
    /// loudness is matched then.
    pub fn scene(&self, blind: Option<Bench>) -> Scene {
        let heard = blind.or(self.listen.value().bench());
        let listen = match heard {
            None => Listen::Dry,
            Some(Bench::A) => Listen::A,
            Some(Bench::B) => Listen::B,
        };
        let loudness_match = blind.is_some() || self.loudness_match.value();
        let follow = self.note_following.value();
        let output_db = text::meant(self.output.value(), 1e2);
        Scene { controls: self.controls(), listen, loudness_match, follow, output_db }
    }
}

/// Brings saved values into their ranges, whoever wrote them: the framework takes any number, and then ends the host's process
/// when a choice has a number that is none.
pub fn tame(state: &mut PluginState) {
    state.params.retain(|id, value| match (id.as_str(), value) {
        ("listen", value) => matches!(value, ParamValue::String(_)),
        ("revision", ParamValue::I32(value)) => (0..=Parameters::REVISIONS).contains(value),
        ("selector", ParamValue::I32(value)) => (1..=Parameters::POSITIONS).contains(value),
        ("switch-1" | "switch-2", ParamValue::I32(value)) => (1..=Parameters::SWITCH_POSITIONS).contains(value),
        ("tray-step", ParamValue::I32(value)) => {
            usize::try_from(*value).is_ok_and(|step| step <= crate::session::Tray::MOST)
        }
        ("knob-1" | "knob-2" | "knob-3", ParamValue::F32(value)) => (0.0..=10.0).contains(value),
        ("cable", ParamValue::F32(value)) => (text::CABLE_PICOFARADS.0..=text::CABLE_PICOFARADS.1).contains(value),
        ("input", ParamValue::F32(value)) => (text::INPUT_OHMS.0..=text::INPUT_OHMS.1).contains(value),
        ("output", ParamValue::F32(value)) => (-Parameters::OUTPUT_DB..=Parameters::OUTPUT_DB).contains(value),
        _ => true,
    });
}

/// The project among what the host saves: a text, which the desk reads, so that none is lost that cannot be read.
struct SavedProject(Arc<Desk>);

impl PersistentField<'_, String> for SavedProject {
    fn set(&self, saved: String) {
        self.0.restore(&saved);
    }

    fn map<F, R>(&self, f: F) -> R
    where
        F: Fn(&String) -> R,
    {
        f(&self.0.save())
    }
}

fn whole(parameter: &IntParam) -> u8 {
    u8::try_from(parameter.value()).unwrap_or(0)
}

fn knob(name: &str) -> FloatParam {
    FloatParam::new(name, 10.0, FloatRange::Linear { min: 0.0, max: 10.0 })
        .with_value_to_string(Arc::new(|value| text::decimal(value, 2)))
        .with_string_to_value(Arc::new(text::number))
}

fn selector(desk: &Arc<Desk>) -> IntParam {
    let desk = desk.clone();
    let name = move |position: i32| {
        let of = |bench| desk.position_name(bench, usize::try_from(position).unwrap_or(0));
        match (of(Bench::A), of(Bench::B)) {
            (Some(a), Some(b)) if a == b => format!("{position}: {a}"),
            (Some(a), Some(b)) => format!("{position}: {a} (B: {b})"),
            (Some(one), None) | (None, Some(one)) => format!("{position}: {one}"),
            (None, None) => position.to_string(),
        }
    };
    IntParam::new("Selector", 1, IntRange::Linear { min: 1, max: Parameters::POSITIONS })
        .with_value_to_string(Arc::new(name))
        .with_string_to_value(Arc::new(text::leading_number))
}

fn tray_step(desk: &Arc<Desk>) -> IntParam {
    let (writing, reading) = (desk.clone(), desk.clone());
    let write = move |step: i32| text::write_step(step, &writing.tray_values());
    let read = move |typed: &str| text::read_step(typed, &reading.tray_values());
    let most = i32::try_from(crate::session::Tray::MOST).unwrap_or(i32::MAX);
    IntParam::new("Tray step", 0, IntRange::Linear { min: 0, max: most })
        .with_value_to_string(Arc::new(write))
        .with_string_to_value(Arc::new(read))
}

fn cable() -> FloatParam {
    let (min, max) = text::CABLE_PICOFARADS;
    FloatParam::new("Cable", 500.0, FloatRange::Skewed { min, max, factor: 0.5 })
        .with_unit("F")
        .with_value_to_string(Arc::new(text::write_cable))
        .with_string_to_value(Arc::new(text::read_cable))
}

fn input() -> FloatParam {
    let (min, max) = text::INPUT_OHMS;
    FloatParam::new("Input resistance", 1e6, FloatRange::Skewed { min, max, factor: 0.3 })
        .with_unit("Ω")
        .with_value_to_string(Arc::new(text::write_input))
        .with_string_to_value(Arc::new(text::read_input))
}

fn output() -> FloatParam {
    FloatParam::new("Output", 0.0, FloatRange::Linear { min: -Parameters::OUTPUT_DB, max: Parameters::OUTPUT_DB })
        .with_unit(" dB")
        .with_value_to_string(Arc::new(|value| text::decimal(value, 1)))
        .with_string_to_value(Arc::new(text::number))
}
