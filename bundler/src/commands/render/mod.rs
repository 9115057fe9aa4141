//! `dryfit render`

mod alone;
mod orders;
pub(in crate::commands) mod plan;
mod report;

use std::io::{Write, stdout};
use std::sync::Mutex;

use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use super::{tell, tell_warnings};
use crate::arguments::Render;
use crate::audio;
use crate::following::{Origin, Way};
use crate::rendering::stream;
use crate::{Failure, demo, trust};
use orders::{NamedTake, Order, Orders};
use plan::{Plan, Stand};

/// Renders every take through every option. Everything that can be wrong is found before the first sample is rendered.
pub fn run(arguments: &Render) -> Result<(), Failure> {
    if !arguments.by_pickup.is_empty() {
        return alone::run(arguments);
    }
    let mut failures = Vec::new();
    let plan = Plan::new(arguments, &mut failures);
    let takes = takes(arguments, plan.recorded.as_ref(), &mut failures);
    let orders = Orders::new(arguments, &takes, &plan.options, &mut failures);
    Failure::all(failures)?;
    let Some(recorded) = &plan.recorded else { return Ok(()) };
    plan.notes.iter().for_each(tell);
    plan.warned.iter().for_each(tell_warnings);
    tell(report::assumption(recorded, arguments.takes.is_empty()));
    let origins: Vec<Origin<'_>> = takes
        .iter()
        .map(|named| Origin::new(&recorded.assembly, &recorded.controls, &named.take, arguments.follow))
        .collect::<Result<_, _>>()
        .map_err(|source| Failure::Conversion { place: recorded.name.clone(), source })?;
    in_parallel(&orders.list, 1, |order, bar| carry_out(arguments, recorded, &origins[order.place], order, bar))
}

fn takes(arguments: &Render, recorded: Option<&Stand>, failures: &mut Vec<Failure>) -> Vec<NamedTake> {
    if arguments.takes.is_empty() {
        let Some(stand) = recorded else { return Vec::new() };
        return match demo::take(&stand.assembly, &stand.controls) {
            Ok(take) => vec![NamedTake { name: demo::NAME.into(), take }],
            Err(source) => {
                failures.push(Failure::Conversion { place: stand.name.clone(), source });
                Vec::new()
            }
        };
    }
    let mut takes = Vec::new();
    for path in &arguments.takes {
        match audio::read(path).and_then(|recording| recording.take(arguments.channel)) {
            Ok((take, sentence)) => {
                tell(sentence);
                takes.push(NamedTake { name: plan::stem(&path.to_string_lossy()), take });
            }
            Err(error) => failures.push(error.into()),
        }
    }
    takes
}

/// Carries out every order, each of which goes that many times through its take, and prints what each says.
fn in_parallel(
    orders: &[Order<'_>],
    passes: usize,
    carry_out: impl Fn(&Order<'_>, &ProgressBar) -> Result<String, Failure> + Sync,
) -> Result<(), Failure> {
    let samples: usize = orders.iter().map(|order| order.take.take.samples.len()).sum();
    let bar = ProgressBar::new((samples * passes) as u64).with_style(style());
    let said = Mutex::new(vec![String::new(); orders.len()]);
    let outcomes: Vec<Result<(), Failure>> = orders
        .par_iter()
        .enumerate()
        .map(|(i, order)| {
            let sentence = carry_out(order, &bar)?;
            said.lock().expect("no thread panics while it holds a sentence")[i] = sentence;
            Ok(())
        })
        .collect();
    bar.finish_and_clear();
    let mut out = stdout().lock();
    for sentence in said.into_inner().expect("no thread panics while it holds a sentence") {
        if !sentence.is_empty() {
            writeln!(out, "{sentence}")?;
        }
    }
    Failure::all(outcomes.into_iter().filter_map(Result::err).collect())
}

fn style() -> ProgressStyle {
    ProgressStyle::with_template("rendering {wide_bar} {percent:>3} %  {eta} left")
        .unwrap_or_else(|_| ProgressStyle::default_bar())
}

fn carry_out(
    arguments: &Render,
    recorded: &Stand,
    origin: &Origin<'_>,
    order: &Order<'_>,
    bar: &ProgressBar,
) -> Result<String, Failure> {
    let Order { take: NamedTake { take, .. }, option, .. } = order;
    let stand = &option.stand;
    let way = origin.way(&stand.assembly, &stand.controls);
    let Way { conversion, follower, assessment } =
        way.map_err(|source| Failure::Conversion { place: stand.name.clone(), source })?;
    let mut heard = Vec::with_capacity(take.samples.len());
    stream(&take.samples, take.sample_rate, (conversion, follower), &stand.controls, |block| {
        heard.extend_from_slice(block);
        bar.inc(block.len() as u64);
    });
    let trust = trust::sentence(&assessment, arguments.follow);
    write(arguments, order, &heard, |level| report::result(order, recorded, (&assessment, &trust), level))
}

/// Writes what an order gave; `say` gets its peak and how it is written, where anything is heard.
fn write(
    arguments: &Render,
    order: &Order<'_>,
    heard: &[f32],
    say: impl FnOnce((f32, audio::Depth)) -> String,
) -> Result<String, Failure> {
    let peak = heard.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    let depth = arguments.depth.depth(peak);
    audio::write(&orders::destination(arguments, &order.path), &[heard], order.take.take.sample_rate, depth)?;
    Ok(say((peak, depth)))
}
