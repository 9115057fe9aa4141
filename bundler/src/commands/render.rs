//! `dryfit render`

use std::io::{Write, stderr, stdout};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use dryfit_dsp::conversion::{Assessment, Controls, Conversion, Grid, Recorded};
use dryfit_dsp::document::{Assembly, Guitar};
use dryfit_dsp::units::amplitude_to_db;
use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use crate::arguments::{Follow, Render};
use crate::audio::{self, Destination, Take};
use crate::documents::Documents;
use crate::rendering::render;
use crate::{Failure, demo, settings};

/// Renders every take through every option. Everything that can be wrong is found before the first sample is rendered.
pub fn run(arguments: &Render) -> Result<(), Failure> {
    refuse_following(arguments.follow)?;
    let mut documents = Documents::new();
    let guitar = documents.guitar(&arguments.recorded.guitar)?;
    let recorded = setting(&mut documents, &arguments.recorded.recorded, &guitar, &arguments.recorded.recorded_set);
    let mut failures = Vec::new();
    let mut options = Vec::new();
    for option in &arguments.options {
        match setting(&mut documents, option, &guitar, &arguments.set) {
            Ok(stand) => options.extend(positions(option, stand, arguments.each_position)),
            Err(failure) => failures.push(failure),
        }
    }
    let recorded = recorded.map_err(|failure| failures.push(failure)).ok();
    let takes = takes(arguments, recorded.as_ref(), &mut failures);
    let orders = orders(arguments, &takes, &options, &mut failures);
    Failure::all(failures)?;
    let Some(recorded) = recorded else { return Ok(()) };
    options.iter().for_each(|option| tell_warnings(&option.assembly));
    render_all(arguments, &recorded, &orders)
}

/// Tells what a technician should look at, though it works.
pub fn tell_warnings(assembly: &Assembly) {
    for warning in &assembly.warnings.0 {
        // A closed standard error leaves nobody to tell.
        let _ = writeln!(stderr(), "{warning}");
    }
}

/// A wiring with the controls where they are set.
#[derive(Debug, Clone)]
struct Stand {
    assembly: Assembly,
    controls: Controls,
}

/// An option to render, with the end of its file name.
#[derive(Debug, Clone)]
struct RenderOption {
    name: String,
    suffix: String,
    assembly: Assembly,
    controls: Controls,
}

/// One result to make.
struct Order<'a> {
    take: &'a NamedTake,
    option: &'a RenderOption,
    path: PathBuf,
}

struct NamedTake {
    name: String,
    take: Take,
}

fn refuse_following(follow: Follow) -> Result<(), Failure> {
    match follow {
        Follow::Off => Ok(()),
        Follow::Live | Follow::Whole => Err(Failure::Arguments {
            what: "this version cannot follow notes yet".into(),
            mend: "leave --follow off: other pickups are then estimated with the best static filter".into(),
        }),
    }
}

fn setting(documents: &mut Documents, wiring: &str, guitar: &Guitar, set: &[String]) -> Result<Stand, Failure> {
    let mut assembly = documents.assembly(wiring, guitar)?;
    let mut controls = Controls::default();
    settings::apply(set, &mut assembly, &mut controls).map_err(Failure::Settings)?;
    Ok(Stand { assembly, controls })
}

fn positions(name: &str, stand: Stand, each: bool) -> Vec<RenderOption> {
    let base = name.split('+').map(stem).collect::<Vec<_>>().join("+");
    let option = |suffix: String, controls: Controls| RenderOption {
        name: name.to_string(),
        suffix,
        assembly: stand.assembly.clone(),
        controls,
    };
    if !each {
        return vec![option(base, stand.controls)];
    }
    let at = |position: u8| {
        let mut controls = stand.controls;
        controls.position = position;
        option(format!("{base}-position-{position}"), controls)
    };
    (1..=stand.assembly.controls.positions).map(at).collect()
}

fn stem(name: &str) -> String {
    Path::new(name).file_stem().map_or_else(|| name.to_string(), |stem| stem.to_string_lossy().into_owned())
}

fn takes(arguments: &Render, recorded: Option<&Stand>, failures: &mut Vec<Failure>) -> Vec<NamedTake> {
    if arguments.takes.is_empty() {
        let Some(stand) = recorded else { return Vec::new() };
        return match demo::take(&stand.assembly, &stand.controls) {
            Ok(take) => vec![NamedTake { name: demo::NAME.into(), take }],
            Err(source) => {
                failures.push(Failure::Conversion { place: arguments.recorded.recorded.clone(), source });
                Vec::new()
            }
        };
    }
    let mut takes = Vec::new();
    for path in &arguments.takes {
        match audio::read(path).and_then(|recording| recording.take(arguments.channel)) {
            Ok((take, sentence)) => {
                // A closed standard error leaves nobody to tell.
                let _ = writeln!(stderr(), "{sentence}");
                takes.push(NamedTake { name: stem(&path.to_string_lossy()), take });
            }
            Err(error) => failures.push(error.into()),
        }
    }
    takes
}

fn orders<'a>(
    arguments: &Render,
    takes: &'a [NamedTake],
    options: &'a [RenderOption],
    failures: &mut Vec<Failure>,
) -> Vec<Order<'a>> {
    let single = arguments.takes.len().max(1) * arguments.options.len() == 1 && !arguments.each_position;
    if !single && let Err(source) = std::fs::create_dir_all(&arguments.output) {
        failures.push(Failure::Arguments {
            what: format!("several results need a folder, and {} cannot be one ({source})", arguments.output.display()),
            mend: "give -o the name of a folder".into(),
        });
        return Vec::new();
    }
    let mut orders: Vec<Order<'a>> = Vec::new();
    for take in takes {
        for option in options {
            let file = format!("{}-{}.wav", take.name, option.suffix);
            let path = if single { arguments.output.clone() } else { arguments.output.join(file) };
            if orders.iter().any(|order| order.path == path) {
                let what = format!("two results would be called {}", path.display());
                failures
                    .push(Failure::Arguments { what, mend: "render takes or options of one name one by one".into() });
                continue;
            }
            match destination(arguments, &path).check() {
                Ok(()) => orders.push(Order { take, option, path }),
                Err(error) => failures.push(error.into()),
            }
        }
    }
    orders
}

fn destination<'a>(arguments: &'a Render, path: &'a Path) -> Destination<'a> {
    Destination { path, takes: &arguments.takes, overwrite: arguments.overwrite }
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
    let grid = Grid::up_to(f64::from(take.sample_rate) / 2.0);
    let failed = |place: &str| {
        let place = place.to_string();
        move |source| Failure::Conversion { place, source }
    };
    let recorded =
        Recorded::new(&recorded.assembly, &recorded.controls, &grid).map_err(failed(&arguments.recorded.recorded))?;
    let mut conversion = Conversion::new(&recorded, &option.assembly).map_err(failed(&option.name))?;
    let assessment = conversion.assess(&option.controls);
    let heard = render(&take.samples, take.sample_rate, conversion, &option.controls, |done| bar.inc(done as u64));
    let peak = heard.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    audio::write(&destination(arguments, path), &[&heard], take.sample_rate, arguments.depth.depth(peak))?;
    Ok(sentence(path, option, &assessment, peak))
}

fn sentence(path: &Path, option: &RenderOption, assessment: &Assessment, peak: f32) -> String {
    let position = match option.assembly.controls.positions {
        1 => String::new(),
        _ => format!(", position {}", option.controls.position),
    };
    let trust = match assessment {
        Assessment { silent: true, .. } => "silent: no pickup reaches the jack",
        Assessment { exact: true, .. } => "exact: only the circuit differs",
        _ => "estimated: another pickup sounds than was recorded (best static filter)",
    };
    let mut text = format!(
        "{}: {}{position}; {trust}; peak {:.1} dBFS",
        path.display(),
        option.assembly.title,
        amplitude_to_db(f64::from(peak.max(1e-10)))
    );
    if assessment.held_back_db > 0.1 {
        text += &format!(
            "; boost held back by up to {:.1} dB near {:.0} Hz: the take holds too little there",
            assessment.held_back_db, assessment.held_back_hertz
        );
    }
    text
}
