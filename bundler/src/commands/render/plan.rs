//! Which wirings are heard, with the controls where they are set.

use std::path::Path;

use dryfit_dsp::circuit::settings::{self, SettingError};
use dryfit_dsp::circuit::standing;
use dryfit_dsp::conversion::{self, Controls, Conversion, ConversionError, Grid};
use dryfit_dsp::document::{Assembly, Guitar};

use crate::Failure;
use crate::arguments::{FIRST_OPTIONS, Follow, ORDINARY_WIRINGS, Recorded, Render};
use crate::documents::Documents;

/// A wiring with the controls where they are set.
#[derive(Debug, Clone)]
pub(in crate::commands) struct Stand {
    /// As it was asked for.
    pub(in crate::commands) name: String,
    pub(in crate::commands) assembly: Assembly,
    pub(in crate::commands) controls: Controls,
    /// Part values that are not the document's.
    pub(in crate::commands) changes: Vec<String>,
}

/// An option to render, with the end of its file name.
#[derive(Debug, Clone)]
pub(super) struct RenderOption {
    pub(super) suffix: String,
    pub(super) stand: Stand,
}

/// What is rendered.
#[derive(Debug, Default)]
pub(super) struct Plan {
    /// How the take was recorded; none when that failed.
    pub(super) recorded: Option<Stand>,
    pub(super) options: Vec<RenderOption>,
    /// Wirings whose warnings are to be told, each once.
    pub(super) warned: Vec<Assembly>,
    /// What else the player should know.
    pub(super) notes: Vec<String>,
}

/// What a preset guitar is worth to following: on real recordings, guessed distances undo all of its gain (design.md).
const NOT_MEASURED: &str = "notes are followed by where the guitar's document puts the pickups; a preset's distances are \
                            typical ones, and wrong ones undo the gain: measure yours, and name the document with --guitar";

impl Plan {
    /// Reads the documents and applies the settings; `failures` gets everything that is wrong with them.
    pub(super) fn new(arguments: &Render, failures: &mut Vec<Failure>) -> Self {
        failures.extend(contradictions(arguments));
        let mut documents = Documents::new();
        let guitar = match documents.guitar(&arguments.recorded.guitar) {
            Ok(guitar) => guitar,
            Err(failure) => {
                failures.push(failure);
                failures.extend(wirings_alone(arguments, &mut documents));
                return Self::default();
            }
        };
        let Recorded { recorded: wiring, recorded_set, .. } = &arguments.recorded;
        let recorded = recorded(wiring.as_deref(), recorded_set, &mut documents, &guitar, failures);
        let (stands, mut notes) = options(arguments, &mut documents, &guitar, failures);
        let guessed = !arguments.takes.is_empty() && documents.is_preset(&arguments.recorded.guitar);
        if arguments.follow != Follow::Off && guessed {
            notes.push(NOT_MEASURED.into());
        }
        if let Some(recorded) = &recorded {
            failures.extend(convertible(recorded, &stands).err());
        }
        let warned = stands.iter().map(|stand| stand.assembly.clone()).collect();
        let options = stands.into_iter().flat_map(|stand| positions(stand, arguments.each_position)).collect();
        Self { recorded, options, warned, notes }
    }
}

/// Arguments that do not go together.
fn contradictions(arguments: &Render) -> Vec<Failure> {
    let mut failures = Vec::new();
    let mut refuse = |what: &str, mend: &str| {
        failures.push(Failure::Arguments { what: what.into(), mend: mend.into() });
    };
    if arguments.each_position && arguments.set.iter().any(|setting| sets_position(setting)) {
        refuse("--each-position and --set position= contradict each other", "leave one of them out");
    }
    failures
}

/// Whether a setting `K=V` moves the selector.
pub(in crate::commands) fn sets_position(setting: &str) -> bool {
    setting.split('=').next().is_some_and(|key| key.trim() == "position")
}

/// What is wrong with the wirings when there is no guitar to fit them to.
fn wirings_alone(arguments: &Render, documents: &mut Documents) -> Vec<Failure> {
    let names = arguments.recorded.recorded.iter().chain(&arguments.options);
    names.filter_map(|name| documents.wiring(name).err()).collect()
}

/// How the take was recorded: a wiring or, without a name, the first ordinary one that fits, and its settings.
pub(in crate::commands) fn recorded(
    wiring: Option<&str>,
    set: &[String],
    documents: &mut Documents,
    guitar: &Guitar,
    failures: &mut Vec<Failure>,
) -> Option<Stand> {
    let name = match wiring {
        Some(name) => name.to_string(),
        None => documents.first_fitting(&ORDINARY_WIRINGS, guitar).into(),
    };
    let outcome = stand(documents, &name, guitar, set)
        .and_then(|(stand, errors)| if errors.is_empty() { Ok(stand) } else { Err(Failure::Settings(errors)) });
    outcome.map_err(|failure| failures.push(failure)).ok()
}

/// The options, and notes on settings that only some of them know.
fn options(
    arguments: &Render,
    documents: &mut Documents,
    guitar: &Guitar,
    failures: &mut Vec<Failure>,
) -> (Vec<Stand>, Vec<String>) {
    let mut names = arguments.options.clone();
    if names.is_empty() {
        names.push(documents.first_fitting(&FIRST_OPTIONS, guitar).into());
    }
    let mut stands = Vec::new();
    let mut refused = Vec::new();
    for name in &names {
        match stand(documents, name, guitar, &arguments.set) {
            Ok((stand, errors)) => {
                stands.push(stand);
                refused.push(errors);
            }
            Err(failure) => failures.push(failure),
        }
    }
    // The controls are shared, the wirings differ: what one of them does not have may be meant for another.
    let is_meant = |setting: &str| {
        refused.iter().any(|errors: &Vec<SettingError>| errors.iter().all(|error| error.setting != setting))
    };
    let mut notes = Vec::new();
    let mut wrong = Vec::new();
    for error in refused.iter().flatten() {
        if error.unknown_key && is_meant(&error.setting) {
            notes.push(format!("`{}`: left out here: {}", error.setting, error.what));
        } else {
            wrong.push(error.clone());
        }
    }
    if !wrong.is_empty() {
        failures.push(Failure::Settings(wrong));
    }
    (stands, notes)
}

/// A wiring on a guitar with settings applied, and the settings that make no sense for it.
pub(in crate::commands) fn stand(
    documents: &mut Documents,
    name: &str,
    guitar: &Guitar,
    set: &[String],
) -> Result<(Stand, Vec<SettingError>), Failure> {
    let written = documents.assembly(name, guitar)?;
    let mut assembly = written.clone();
    let mut controls = Controls::default();
    let errors = settings::apply(set, &mut assembly, &mut controls).err().unwrap_or_default();
    let changes = standing::changed_parts(&written, &assembly);
    Ok((Stand { name: name.into(), assembly, controls, changes }, errors))
}

/// Whether there is a conversion from what was recorded to every option. What is found here does not depend on a take's
/// sample rate.
pub(in crate::commands) fn convertible(recorded: &Stand, options: &[Stand]) -> Result<(), Failure> {
    const TOP_HERTZ: f64 = 24_000.0;
    let failed = |stand: &Stand, source: ConversionError| Failure::Conversion { place: stand.name.clone(), source };
    let circuit = conversion::Recorded::new(&recorded.assembly, &recorded.controls, &Grid::up_to(TOP_HERTZ))
        .map_err(|error| failed(recorded, error))?;
    let outcomes = options.iter().map(|option| (option, Conversion::new(&circuit, &option.assembly)));
    Failure::all(outcomes.filter_map(|(option, outcome)| Some(failed(option, outcome.err()?))).collect())
}

fn positions(stand: Stand, each: bool) -> Vec<RenderOption> {
    let base = stand.name.split('+').map(stem).collect::<Vec<_>>().join("+");
    if !each {
        return vec![RenderOption { suffix: base, stand }];
    }
    let at = |position: u8| {
        let mut stand = stand.clone();
        stand.controls.position = position;
        RenderOption { suffix: format!("{base}-position-{position}"), stand }
    };
    (1..=stand.assembly.controls.positions).map(at).collect()
}

/// A path's last part without its ending.
pub(in crate::commands) fn stem(name: &str) -> String {
    Path::new(name).file_stem().map_or_else(|| name.to_string(), |stem| stem.to_string_lossy().into_owned())
}
