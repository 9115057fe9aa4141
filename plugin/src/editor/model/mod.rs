//! What the editor shows: plain data, everything already computed and put into words.
//!
//! Texts come with their unit ("47n", "3.3 kHz", "-1.4 dB"). Nothing here says what X is in a blind comparison, so the
//! editor cannot give it away; while X is heard ([`Listen::X`]), fill every field as if bench A sounded.

mod bench;
mod calibration;
mod controls;
mod faults;
mod find;
mod heard;
mod notice;
mod recorded;
mod sounds;

pub use bench::{
    AddOnView, BenchView, Contact, DocumentView, DrawnWiring, LineProblem, Net, NetRole, PartRow, PositionRow,
};
pub use calibration::{
    CalibrationView, CombView, FoundFigure, FoundGuitar, ListeningView, MeasureView, PassState, PassView,
    PickupMeasures,
};
pub use controls::{Control, ControlKind, Graph, Tray, TraySeries};
pub use faults::{DiagnosisView, FaultsView, ShouldRead};
pub use find::{FindView, FoundWords, Search};
pub use heard::{HeardNote, HeardString, HeardView};
pub use notice::{Notice, Place, Refusal, Severity};
pub use recorded::{Choice, Choices, PickupRow, RecordedView};
pub use sounds::{KnobRow, SoundRow, SoundsSetting, SoundsView};

use serde::{Deserialize, Serialize};

use super::action::Field;

/// Everything the editor shows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ViewModel {
    /// What is heard.
    pub listen: Listen,
    /// Loudness match and the gains it gives.
    pub loudness: Loudness,
    /// The three answers a player wants, always in sight.
    pub answers: Answers,
    /// The response plot.
    pub graph: Graph,
    /// Selector, knobs, switches, cable, input, output, in tab order; labelled by the wiring on the sounding bench.
    pub controls: Vec<Control>,
    /// Bench A and bench B.
    pub benches: [BenchView; 2],
    /// The parts tray.
    pub tray: Tray,
    /// What the take was made with.
    pub recorded: RecordedView,
    /// Whether note following acts; none when it does not exist yet.
    pub note_following: Option<bool>,
    /// Whether it looks ahead of what is heard, at the price of latency.
    pub look_ahead: bool,
    /// Which strings and frets are heard.
    pub heard: HeardView,
    /// What is measured and recorded of the guitar.
    pub calibration: CalibrationView,
    /// The sounds that are wanted, and the search for a wiring.
    pub find: FindView,
    /// Blind comparison; what is known about it without knowing X.
    pub blind: Blind,
    /// What can be chosen.
    pub choices: Choices,
    /// Warnings and errors, worst first.
    pub notices: Vec<Notice>,
    /// Texts that were typed and refused, each shown at its field until something sensible is typed there.
    pub refusals: Vec<Refusal>,
    /// What undo would take back ("tone capacitor 22n"), if anything.
    pub undo: Option<String>,
    /// What redo would do again, if anything.
    pub redo: Option<String>,
    /// A word on the right of the last line, for example "0 samples of latency, 0.6 % of a core".
    pub running: String,
}

/// One of the two benches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum BenchId {
    /// Bench A.
    #[default]
    A,
    /// Bench B.
    B,
}

/// What is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Listen {
    /// The take as it is.
    Dry,
    /// Bench A.
    #[default]
    A,
    /// Bench B.
    B,
    /// The unknown of a blind comparison.
    X,
}

/// Loudness match.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loudness {
    /// Whether it acts.
    pub on: bool,
    /// Gain it gives to dry, A and B, as text with its unit; empty where nothing was measured yet.
    pub gains: [String; 3],
}

/// What is always in sight.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answers {
    /// The position and what is on in it: "1  bridge, neck under it".
    pub sounding: String,
    /// Exact or estimated.
    pub trust: Trust,
    /// What changed: how the two benches differ ("B: tone capacitor 22n instead of 47n").
    pub changed: String,
}

/// How far what is heard can be trusted.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Trust {
    /// Nothing is known yet: the wiring is being worked out.
    #[default]
    Unknown,
    /// Only the circuit differs.
    Exact,
    /// Another pickup sounds than was recorded.
    Estimated {
        /// By how much it was off on ground truth: "2.7 dB".
        off: String,
    },
    /// No pickup reaches the jack.
    Silent,
}

/// A blind comparison.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Blind {
    /// None is going on.
    #[default]
    Off,
    /// X is A or B, and the listener is to say which.
    Running {
        /// Trials answered.
        answered: usize,
        /// Trials in all.
        trials: usize,
    },
    /// All trials are answered.
    Done {
        /// Trials in all.
        trials: usize,
        /// Trials answered rightly.
        right: usize,
        /// Exact one-sided binomial probability of so many right answers by guessing, as text: ".0384".
        probability: String,
        /// What that means in a sentence.
        verdict: String,
    },
}

impl BenchId {
    /// Both, in order.
    pub const BOTH: [Self; 2] = [Self::A, Self::B];

    /// 0 or 1.
    pub fn index(self) -> usize {
        self as usize
    }

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }

    /// "A" or "B".
    pub fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

impl ViewModel {
    /// A bench.
    pub fn bench(&self, bench: BenchId) -> &BenchView {
        &self.benches[bench.index()]
    }

    /// Why the text last typed at a field was refused, if it was.
    pub fn refusal(&self, field: &Field) -> Option<&Refusal> {
        self.refusals.iter().find(|refusal| refusal.field == *field)
    }

    /// Whether a blind comparison is going on.
    pub fn is_blind(&self) -> bool {
        matches!(self.blind, Blind::Running { .. })
    }
}
