//! `dryfit render --take PICKUP=FILE ..`: each pickup recorded alone, mixed through the option's circuit.

use std::path::PathBuf;

use dryfit_dsp::circuit::standing;
use dryfit_dsp::conversion::{Assessment, Controls, ConversionError, Grid, PickupAlone, Recorded};
use dryfit_dsp::document::suggestion;

use super::orders::{NamedTake, Order, Orders};
use super::plan::{self, Plan, RenderOption, Stand};
use super::report;
use crate::arguments::{Follow, PickupTake, Render};
use crate::audio::{self, Take};
use crate::rendering::render;
use crate::{Failure, trust};

/// Renders one performance, of which every pickup was recorded alone, through every option.
pub(super) fn run(arguments: &Render) -> Result<(), Failure> {
    let mut failures = contradictions(arguments);
    let plan = Plan::new(arguments, &mut failures);
    let Some(recorded) = &plan.recorded else { return Failure::all(failures) };
    let mut takes = takes(arguments, recorded, &mut failures);
    failures.extend(one_rate(&takes));
    failures.extend(plan.options.iter().filter_map(|option| missing(option, &takes)));
    let paths = arguments.by_pickup.iter().map(|take| take.path.clone()).collect();
    let arguments = Render { takes: paths, ..arguments.clone() };
    let named = [NamedTake { name: plan::stem(&arguments.takes[0].to_string_lossy()), take: padded(&mut takes) }];
    let orders = Orders::new(&arguments, &named, &plan.options, &mut failures);
    Failure::all(failures)?;
    plan.notes.iter().for_each(super::tell);
    plan.warned.iter().for_each(super::tell_warnings);
    super::tell(report::alone(recorded, takes.iter().map(|take| (take.pickup, take.position))));
    super::in_parallel(&orders.list, takes.len(), |order, bar| {
        let mixed = mix(&takes, order, bar)?;
        super::write(&arguments, order, &mixed.samples, |level| {
            let trust = trust::with_a_take_each(&mixed.assessment);
            report::result(order, recorded, (&mixed.assessment, &trust), level)
        })
    })
}

/// One pickup's take, and how it was recorded.
struct AloneTake {
    /// Index in the guitar's pickups.
    pickup: usize,
    /// Where the selector stood.
    position: u8,
    /// The circuit that the take has in it.
    circuit: Recorded,
    take: Take,
}

/// What the option makes of all takes.
struct Mixed {
    samples: Vec<f32>,
    assessment: Assessment,
}

fn contradictions(arguments: &Render) -> Vec<Failure> {
    let mut failures = Vec::new();
    let mut refuse = |what: &str, mend: &str| {
        failures.push(Failure::Arguments { what: what.into(), mend: mend.into() });
    };
    if !arguments.takes.is_empty() {
        refuse(
            "a take of the whole guitar and takes of pickups alone (--take) are two different things",
            "render them one after the other",
        );
    }
    if arguments.follow != Follow::Off {
        refuse("with a take of every pickup there is nothing to follow", "leave --follow out: the result is exact");
    }
    if arguments.recorded.recorded_set.iter().any(|setting| plan::sets_position(setting)) {
        refuse(
            "each --take was recorded in the position in which its pickup sounds alone",
            "leave position= out of --recorded-set",
        );
    }
    failures
}

fn takes(arguments: &Render, recorded: &Stand, failures: &mut Vec<Failure>) -> Vec<AloneTake> {
    let mut takes: Vec<AloneTake> = Vec::new();
    for asked in &arguments.by_pickup {
        match take(arguments, recorded, asked) {
            Ok(take) if takes.iter().any(|other| other.pickup == take.pickup) => {
                let what = format!("there are two takes of the {} pickup", asked.pickup);
                failures.push(Failure::Arguments { what, mend: "give one --take for each pickup".into() });
            }
            Ok(take) => takes.push(take),
            Err(failure) => failures.push(failure),
        }
    }
    takes
}

fn take(arguments: &Render, recorded: &Stand, asked: &PickupTake) -> Result<AloneTake, Failure> {
    let pickups = &recorded.assembly.guitar.pickups;
    let names = || pickups.iter().map(|pickup| pickup.name.as_str());
    let Some(pickup) = names().position(|name| name == asked.pickup) else {
        let what = format!("the guitar has no pickup `{}`{}", asked.pickup, suggestion(&asked.pickup, names()));
        let mend = format!("write --take PICKUP=FILE with one of {}", names().collect::<Vec<_>>().join(", "));
        return Err(Failure::Arguments { what, mend });
    };
    let controls = alone(recorded, pickup)?;
    let (take, sentence) = audio::read(&asked.path).and_then(|recording| recording.take(arguments.channel))?;
    super::tell(sentence);
    let grid = Grid::up_to(f64::from(take.sample_rate) / 2.0);
    let circuit = Recorded::new(&recorded.assembly, &controls, &grid)
        .map_err(|source| Failure::Conversion { place: recorded.name.clone(), source })?;
    Ok(AloneTake { pickup, position: controls.position, circuit, take })
}

/// The recorded wiring's first position in which this pickup sounds alone.
fn alone(recorded: &Stand, pickup: usize) -> Result<Controls, Failure> {
    /// As high as matters for which pickup sounds; every take's own rate comes later.
    const TOP_HERTZ: f64 = 24_000.0;
    let grid = Grid::up_to(TOP_HERTZ);
    let name = &recorded.assembly.guitar.pickups[pickup].name;
    let mut controls = recorded.controls;
    let mut last = None;
    for position in 1..=recorded.assembly.controls.positions {
        controls.position = position;
        match Recorded::new(&recorded.assembly, &controls, &grid) {
            Ok(circuit) if circuit.is_alone(pickup) => return Ok(controls),
            Ok(_) => last = Some(ConversionError::NotAlone { pickup: name.clone() }),
            Err(error) => last = Some(error),
        }
    }
    let why = last.map_or_else(String::new, |error| format!(" ({error})"));
    Err(Failure::Arguments {
        what: format!("`{}` has no position in which the {name} pickup sounds alone{why}", recorded.assembly.title),
        mend: "name the wiring the takes were made with (--recorded); `three-pickups-direct` or `two-pickups-direct` for a \
               breakout lead without pots"
            .into(),
    })
}

fn one_rate(takes: &[AloneTake]) -> Option<Failure> {
    let first = takes.first()?.take.sample_rate;
    let other = takes.iter().find(|take| take.take.sample_rate != first)?.take.sample_rate;
    let what = format!("the takes have different sample rates, {first} Hz and {other} Hz");
    Some(Failure::Arguments { what, mend: "export all pickups of a performance alike, from one start".into() })
}

/// Pickups that sound in an option and have no take.
fn missing(option: &RenderOption, takes: &[AloneTake]) -> Option<Failure> {
    /// What is weaker than this against the strongest pickup may be missing.
    const UNHEARD_DB: f64 = -60.0;
    let Stand { assembly, controls, .. } = &option.stand;
    let has_take = |name: &str| takes.iter().any(|take| assembly.guitar.pickups[take.pickup].name == name);
    let on = standing::pickups_above(assembly, controls, UNHEARD_DB);
    let missing: Vec<&str> = on.into_iter().filter(|name| !has_take(name)).collect();
    if missing.is_empty() {
        return None;
    }
    let what = format!("{}: {} sounds too, and has no take", option.suffix, missing.join(" and "));
    let mend = missing.iter().map(|name| format!("--take {name}=FILE")).collect::<Vec<_>>().join(" ");
    Some(Failure::Arguments { what, mend: format!("add {mend}") })
}

/// Makes all takes as long as the longest, and gives one that stands for them all.
fn padded(takes: &mut [AloneTake]) -> Take {
    let length = takes.iter().map(|take| take.take.samples.len()).max().unwrap_or(0);
    takes.iter_mut().for_each(|take| take.take.samples.resize(length, 0.0));
    takes.first().map_or(Take { sample_rate: 0, samples: Vec::new() }, |take| take.take.clone())
}

fn mix(takes: &[AloneTake], order: &Order<'_>, bar: &indicatif::ProgressBar) -> Result<Mixed, Failure> {
    let stand = &order.option.stand;
    let length = order.take.take.samples.len();
    let mut mixed = Mixed { samples: vec![0.0; length], assessment: Assessment::SILENT };
    for AloneTake { pickup, circuit, take, .. } in takes {
        let mut alone = PickupAlone::new(circuit, &stand.assembly, *pickup)
            .map_err(|source| Failure::Conversion { place: stand.name.clone(), source })?;
        let polarity = alone.polarity(&stand.controls) as f32;
        mixed.assessment = mixed.assessment.with(&alone.assess(&stand.controls));
        let heard = render(&take.samples, take.sample_rate, alone, &stand.controls, |done| bar.inc(done as u64));
        mixed.samples.iter_mut().zip(heard).for_each(|(sum, sample)| *sum += polarity * sample);
    }
    Ok(mixed)
}

/// `PICKUP=FILE`.
impl std::str::FromStr for PickupTake {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.split_once('=') {
            Some((pickup, path)) if !pickup.trim().is_empty() && !path.is_empty() => {
                Ok(Self { pickup: pickup.trim().into(), path: PathBuf::from(path) })
            }
            _ => Err("write it PICKUP=FILE, such as bridge=riff-bridge.wav".into()),
        }
    }
}
