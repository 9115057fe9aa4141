//! How the numbers of a survey are written.

use dryfit_dsp::survey::Figures;

pub(super) fn hertz(value: f64) -> String {
    if value >= 1e3 { format!("{:.2} kHz", value / 1e3) } else { format!("{value:.0} Hz") }
}

/// A level, with its sign.
pub(super) fn db(value: f64) -> String {
    // A tenth that rounds to nothing has no sign.
    let tenths = (value * 10.0).round() + 0.0;
    if value <= Figures::SILENT_DB { "none".into() } else { format!("{:+.1} dB", tenths / 10.0) }
}

/// A height, without one.
pub(super) fn height(value: f64) -> String {
    format!("{value:.1} dB")
}

pub(super) fn microvolts(volts: f64) -> String {
    format!("{:.2} uV", volts * 1e6)
}
