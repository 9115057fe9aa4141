//! What is said about a rendering.

use std::path::Path;

use dryfit_dsp::conversion::Assessment;
use dryfit_dsp::units::amplitude_to_db;

use super::plan::Stand;
use crate::audio::Depth;
use crate::{standing, trust};

/// How the take is taken to have been recorded. Every result depends on it, so it is said, asked or not.
pub(super) fn assumption(recorded: &Stand, demo: bool) -> String {
    let lead = if demo { "no take given: a demo riff, played through" } else { "take recorded through" };
    format!(
        "{lead}: {}, {}, {}, on the guitar `{}`; say otherwise with --recorded, --recorded-set, --guitar",
        recorded.assembly.title,
        stand(recorded),
        standing::load(&recorded.controls.load),
        recorded.assembly.guitar.title,
    )
}

/// What was written, and how far it can be trusted.
pub(super) fn result(
    path: &Path,
    option: &Stand,
    recorded: &Stand,
    assessment: &Assessment,
    (peak, depth): (f32, Depth),
) -> String {
    let load = match option.controls.load == recorded.controls.load {
        true => String::new(),
        false => format!(", {}", standing::load(&option.controls.load)),
    };
    let level = if assessment.silent { String::new() } else { format!("; {}", level(peak, depth)) };
    let (title, trust) = (&option.assembly.title, trust::sentence(assessment));
    format!("{}: {title}, {}{load}; {trust}{level}", path.display(), stand(option))
}

fn stand(stand: &Stand) -> String {
    let mut words = standing::controls(&stand.assembly, &stand.controls);
    for change in &stand.changes {
        words += &format!(", {change}");
    }
    words
}

fn level(peak: f32, depth: Depth) -> String {
    let peak_db = amplitude_to_db(f64::from(peak.max(f32::MIN_POSITIVE)));
    match depth {
        Depth::Float32 if peak >= 1.0 => {
            format!(
                "peak {peak_db:.1} dB above full scale, kept whole in 32-bit float: turn it down before it meets a converter"
            )
        }
        Depth::Float32 => format!("peak {peak_db:.1} dBFS, 32-bit float"),
        Depth::Pcm24 => format!("peak {peak_db:.1} dBFS, 24 bit"),
    }
}
