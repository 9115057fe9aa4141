//! What is said about a rendering.

use dryfit_dsp::circuit::standing;
use dryfit_dsp::conversion::Assessment;
use dryfit_dsp::units::amplitude_to_db;

use super::orders::Order;
use super::plan::Stand;
use crate::audio::Depth;

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

/// How takes of pickups alone are taken to have been recorded: each pickup's index, and the selector's position.
pub(super) fn alone(recorded: &Stand, takes: impl Iterator<Item = (usize, u8)>) -> String {
    let assembly = &recorded.assembly;
    let name = |pickup: usize| assembly.guitar.pickups[pickup].name.as_str();
    let takes: Vec<String> =
        takes.map(|(pickup, position)| format!("{} in position {position}", name(pickup))).collect();
    format!(
        "takes recorded through: {}, {}, {}, on the guitar `{}`; say otherwise with --recorded, --recorded-set, --guitar",
        assembly.title,
        takes.join(", "),
        standing::load(&recorded.controls.load),
        assembly.guitar.title,
    )
}

/// What was written, and how far it can be trusted.
pub(super) fn result(
    order: &Order<'_>,
    recorded: &Stand,
    (assessment, trust): (&Assessment, &str),
    (peak, depth): (f32, Depth),
) -> String {
    let option = &order.option.stand;
    let load = match option.controls.load == recorded.controls.load {
        true => String::new(),
        false => format!(", {}", standing::load(&option.controls.load)),
    };
    let level = if assessment.silent { String::new() } else { format!("; {}", level(peak, depth)) };
    let title = &option.assembly.title;
    format!("{}: {title}, {}{load}; {trust}{level}", order.path.display(), stand(option))
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
