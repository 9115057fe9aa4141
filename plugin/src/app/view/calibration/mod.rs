//! The guitar, measured and recorded.

mod found;

use dryfit_dsp::document::{Guitar, StringMaterial};
use dryfit_dsp::units::{self, Quantity, note_name, significant};

use crate::app::App;
use crate::compile::names::position_names;
use crate::editor::{CalibrationView, Measure, MeasureView, PassState, PassView, PickupMeasures};
use crate::session::Project;

/// What was measured, beside what the project's guitar has.
pub(super) fn view(app: &App, project: &Project) -> CalibrationView {
    let Ok(guitar) = project.read_guitar() else { return CalibrationView::default() };
    let measures = &app.calibration.measures;
    let field = |measure: Measure, label: &str, documented: String, tip: &str| MeasureView {
        typed: measures.typed(&measure).into(),
        measure,
        label: label.into(),
        documented,
        tip: tip.into(),
    };
    let halves: Vec<&str> = measures.halves(&guitar).collect();
    let listened = app.answer().is_some();
    let measured = match (measures.count(), halves.as_slice()) {
        (_, [pickup, ..]) => format!("Measure the {pickup} pickup under the other outer string, too."),
        (0, []) if listened => "The recordings were listened to.".into(),
        (0, []) => "Nothing was measured yet.".into(),
        (1, []) if listened => "One figure was measured, and the recordings were listened to.".into(),
        (1, []) => "One figure was measured.".into(),
        (count, []) if listened => format!("{count} figures were measured, and the recordings were listened to."),
        (count, []) => format!("{count} figures were measured."),
    };
    CalibrationView {
        strings: strings(&guitar, &field),
        pickups: guitar.pickups.iter().map(|pickup| of_pickup(&guitar, &pickup.name, &field)).collect(),
        ready: halves.is_empty() && app.is_calibrated(project),
        measured,
        passes: passes(app, project),
        listening: found::listening(app),
    }
}

/// The positions of the selector as recorded, with what was recorded in each.
pub(super) fn passes(app: &App, project: &Project) -> Vec<PassView> {
    let assembly = project.read_guitar().and_then(|guitar| project.recorded.setup.assemble(&guitar));
    let Ok(assembly) = assembly else { return Vec::new() };
    let recordings = &app.calibration.recordings;
    let words = |seconds: f64, peak: f32| match peak {
        peak if peak >= 1.0 => format!("{seconds:.0} s, clipped"),
        peak if peak > 0.0 => format!("{seconds:.0} s, {:.0} dB", 20.0 * peak.log10()).replace('-', "\u{2212}"),
        _ => format!("{seconds:.0} s, silent"),
    };
    let pass = |(position, name): (u8, String)| {
        let state = match recordings.made(position) {
            _ if recordings.under_way() == Some(position) => {
                let (samples, peak) = app.taps.recorder().progress();
                PassState::Recording(words(samples as f64 / app.taps.sample_rate().max(1.0), peak))
            }
            Some(made) => {
                let words = words(made.seconds(), made.peak);
                PassState::Recorded(match &made.from {
                    Some(file) => format!("{words}, {file}"),
                    None => words,
                })
            }
            None => PassState::Missing,
        };
        PassView { position, name: format!("{position}  {name}"), state }
    };
    (1..).zip(position_names(&assembly)).map(pass).collect()
}

type Field<'a> = dyn Fn(Measure, &str, String, &str) -> MeasureView + 'a;

fn strings(guitar: &Guitar, field: &Field<'_>) -> Vec<MeasureView> {
    let all = |of: &dyn Fn(usize) -> String, between: &str| {
        (0..guitar.strings.len()).map(of).collect::<Vec<_>>().join(between)
    };
    let gauge = |index: usize| length(guitar.strings[index].gauge);
    let pitch = |index: usize| note_name(guitar.strings[index].pitch);
    let plain = guitar.strings.iter().filter(|string| string.material == StringMaterial::PlainSteel).count();
    vec![
        field(
            Measure::ScaleLength,
            "scale length",
            length(guitar.scale_length),
            "From the nut to the saddle, such as 648 mm or 25.5 in; twice the way from the nut to the twelfth fret.",
        ),
        field(
            Measure::Gauges,
            "gauges",
            all(&gauge, ", "),
            "Diameters as the set has them, from the lowest string, such as 0.046 in, 0.036 in, ..",
        ),
        field(Measure::Plain, "plain strings", plain.to_string(), "How many strings are plain, not wound."),
        field(
            Measure::Tuning,
            "tuning",
            all(&pitch, " "),
            "Open strings from the lowest, such as E2 A2 D3 G3 B3 E4; with a capo, what they sound with it.",
        ),
    ]
}

fn of_pickup(guitar: &Guitar, name: &str, field: &Field<'_>) -> PickupMeasures {
    let pickup = guitar.pickups.iter().find(|pickup| pickup.name == name).expect("it is one of the guitar's");
    let strings = guitar.strings.len();
    let distance = |low: bool, string: usize| {
        let label = if low { "distance under the low string" } else { "distance under the high string" };
        let tip = "From the saddle to the middle of the pole pieces, along the string, such as 45 mm or 1.77 in.";
        field(Measure::Distance { pickup: name.into(), low }, label, length(pickup.distance(string, strings)), tip)
    };
    let resistance = field(
        Measure::Resistance(name.into()),
        "DC resistance",
        units::write(pickup.coil.resistance, Quantity::Resistance),
        "Across the pickup's own two leads, such as 6.2k.",
    );
    let inductance = field(
        Measure::Inductance(name.into()),
        "inductance",
        units::write(pickup.coil.inductance, Quantity::Inductance),
        "What an LCR meter shows at 100 or 120 Hz, such as 2.4 H.",
    );
    let resonances = field(
        Measure::Resonances(name.into()),
        "resonances",
        String::new(),
        "The frequencies at which the pickup is loudest with two known capacitors across it, cable included, such as 570p:3.94kHz, 2300p:2.09kHz.",
    );
    PickupMeasures {
        name: name.into(),
        ruler_and_meter: [distance(true, 0), distance(false, strings.saturating_sub(1)), resistance],
        coil: [inductance, resonances],
    }
}

fn length(metres: f64) -> String {
    units::write(significant(metres, 4), Quantity::Length)
}
