//! `dryfit render`

mod orders;
mod plan;
mod report;

use std::io::{Write, stdout};
use std::sync::Mutex;

use dryfit_dsp::conversion::{Conversion, Grid, Recorded};
use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use super::{tell, tell_warnings};
use crate::arguments::Render;
use crate::audio;
use crate::rendering::render;
use crate::{Failure, demo};
use orders::{NamedTake, Order, Orders};
use plan::{Plan, Stand};

/// Renders every take through every option. Everything that can be wrong is found before the first sample is rendered.
pub fn run(arguments: &Render) -> Result<(), Failure> {
    let mut failures = Vec::new();
    let plan = Plan::new(arguments, &mut failures);
    let takes = takes(arguments, plan.recorded.as_ref(), &mut failures);
    let orders = Orders::new(arguments, &takes, &plan.options, &mut failures);
    Failure::all(failures)?;
    let Some(recorded) = &plan.recorded else { return Ok(()) };
    plan.notes.iter().for_each(tell);
    plan.warned.iter().for_each(tell_warnings);
    tell(report::assumption(recorded, arguments.takes.is_empty()));
    render_all(arguments, recorded, &orders.list)
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

fn render_all(arguments: &Render, recorded: &Stand, orders: &[Order<'_>]) -> Result<(), Failure> {
    let samples: usize = orders.iter().map(|order| order.take.take.samples.len()).sum();
    let bar = ProgressBar::new(samples as u64).with_style(style());
    let said = Mutex::new(vec![String::new(); orders.len()]);
    let outcomes: Vec<Result<(), Failure>> = orders
        .par_iter()
        .enumerate()
        .map(|(i, order)| {
            let sentence = carry_out(arguments, recorded, order, &bar)?;
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

fn carry_out(arguments: &Render, recorded: &Stand, order: &Order<'_>, bar: &ProgressBar) -> Result<String, Failure> {
    let Order { take: NamedTake { take, .. }, option, path } = order;
    let stand = &option.stand;
    let grid = Grid::up_to(f64::from(take.sample_rate) / 2.0);
    let failed = |stand: &Stand| {
        let place = stand.name.clone();
        move |source| Failure::Conversion { place, source }
    };
    let circuit = Recorded::new(&recorded.assembly, &recorded.controls, &grid).map_err(failed(recorded))?;
    let mut conversion = Conversion::new(&circuit, &stand.assembly).map_err(failed(stand))?;
    let assessment = conversion.assess(&stand.controls);
    let heard = render(&take.samples, take.sample_rate, conversion, &stand.controls, |done| bar.inc(done as u64));
    let peak = heard.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    let depth = arguments.depth.depth(peak);
    audio::write(&orders::destination(arguments, path), &[&heard], take.sample_rate, depth)?;
    Ok(report::result(path, stand, recorded, &assessment, (peak, depth)))
}
