//! What is played, as a plain value.

use std::f64::consts::TAU;

/// Notes, in any order.
#[derive(Debug, Clone, PartialEq)]
pub struct Performance {
    /// The notes. One that begins while another sounds on the same string cuts that one off.
    pub notes: Vec<Note>,
}

impl Performance {
    /// Time from the start to the end of the last note, in seconds.
    pub fn length(&self) -> f64 {
        self.notes.iter().map(|note| note.start + note.length).fold(0.0, f64::max)
    }
}

/// One plucked note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Note {
    /// When it is plucked, in seconds from the start.
    pub start: f64,
    /// How long it may ring, in seconds.
    pub length: f64,
    /// The string, 0 for the lowest.
    pub string: usize,
    /// The fret, 0 for the open string.
    pub fret: u8,
    /// How hard, in dB relative to the usual.
    pub level_db: f64,
    /// Where it is plucked, in metres from the bridge; left to chance within the usual range when absent.
    pub pluck: Option<f64>,
    /// What the fretting hand does meanwhile.
    pub gesture: Gesture,
    /// What a palm on the strings takes from all partials alike, in nepers per second, on top of what they lose by themselves.
    pub damping: f64,
}

impl Note {
    /// An ordinary note.
    pub fn new(start: f64, length: f64, string: usize, fret: u8) -> Self {
        Self { start, length, string, fret, level_db: 0.0, pluck: None, gesture: Gesture::Still, damping: 0.0 }
    }
}

/// What the fretting hand does to the pitch of a note.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gesture {
    /// Nothing.
    Still,
    /// Pushes the string up and holds it.
    Bend {
        /// How far, in semitones.
        semitones: f64,
        /// When it begins, in seconds after the pluck.
        delay: f64,
        /// How long it takes, in seconds.
        rise: f64,
    },
    /// Sways around the pitch.
    Vibrato {
        /// How far to either side, in semitones.
        semitones: f64,
        /// How often, in hertz.
        rate: f64,
        /// When it begins, in seconds after the pluck.
        delay: f64,
        /// How long it takes to reach its width, in seconds.
        rise: f64,
    },
}

impl Gesture {
    /// Pitch above that of the fret, in semitones, `time` seconds after the pluck.
    pub fn semitones(self, time: f64) -> f64 {
        let risen = |delay: f64, rise: f64| ((time - delay) / rise.max(1e-3)).clamp(0.0, 1.0);
        match self {
            Self::Still => 0.0,
            // Slow at first, as the finger has to take up the string's slack.
            Self::Bend { semitones, delay, rise } => semitones * risen(delay, rise).powf(1.5),
            Self::Vibrato { semitones, rate, delay, rise } => {
                semitones * (TAU * rate * time).sin() * risen(delay, rise)
            }
        }
    }
}
