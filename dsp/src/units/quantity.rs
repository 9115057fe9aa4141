//! What a number can stand for in a document.

use std::ops::RangeInclusive;

/// A kind of number in a document, with its SI unit and the range in which it makes sense on a guitar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// In ohms.
    Resistance,
    /// In farads.
    Capacitance,
    /// In henries.
    Inductance,
    /// In metres; millimetres and inches are usual.
    Length,
    /// In hertz.
    Frequency,
    /// In dB.
    Level,
    /// A share, written in percent.
    Share,
}

impl Quantity {
    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Resistance => "resistance",
            Self::Capacitance => "capacitance",
            Self::Inductance => "inductance",
            Self::Length => "length",
            Self::Frequency => "frequency",
            Self::Level => "level",
            Self::Share => "share",
        }
    }

    /// An example of how it is written, for messages.
    pub fn example(self) -> &'static str {
        match self {
            Self::Resistance => "250k or 1M",
            Self::Capacitance => "47n or 0.047u",
            Self::Inductance => "2.4 H",
            Self::Length => "648 mm or 0.046 in",
            Self::Frequency => "3.4 kHz",
            Self::Level => "-14 dB",
            Self::Share => "20 %",
        }
    }

    /// Values that make sense for a part of a guitar, in SI units.
    pub fn sensible(self) -> RangeInclusive<f64> {
        match self {
            Self::Resistance => 0.1..=1e9,
            Self::Capacitance => 1e-13..=1e-3,
            Self::Inductance => 1e-6..=1e3,
            Self::Length => 1e-6..=10.0,
            Self::Frequency => 1e-3..=1e6,
            Self::Level => -200.0..=200.0,
            Self::Share => 0.0..=1.0,
        }
    }

    /// Unit names that may follow the prefix, with their factor to SI; the first is the one that is written.
    pub(super) fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Resistance => &[("", 1.0), ("ohm", 1.0), ("ohms", 1.0), ("Ω", 1.0), ("Ω", 1.0), ("R", 1.0)],
            Self::Capacitance => &[("", 1.0), ("F", 1.0)],
            Self::Inductance => &[("H", 1.0)],
            Self::Length => &[("m", 1.0), ("in", 0.0254), ("\"", 0.0254)],
            Self::Frequency => &[("Hz", 1.0)],
            Self::Level => &[("dB", 1.0)],
            Self::Share => &[("%", 0.01)],
        }
    }

    /// Whether a bare number, without unit or prefix, can be meant: only ohms are written so.
    pub(super) fn may_be_bare(self) -> bool {
        self == Self::Resistance
    }
}
