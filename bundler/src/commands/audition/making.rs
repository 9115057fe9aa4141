//! From an order to a page.

use std::io;
use std::path::{Path, PathBuf};

use dryfit_dsp::circuit::standing;
use dryfit_dsp::conversion::{Controls, Conversion, Grid, Recorded};
use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use super::plan::{Plan, Planned};
use super::surveying::Surveyed;
use super::takes::{self, Named, SHORTEST};
use super::{asked, levels, telling, writing};
use crate::Failure;
use crate::arguments::Audition;
use crate::audio::WriteError;
use crate::audition::order::Order;
use crate::audition::page::{Page, PageKnobs, PageOption, PageTake, Payload, Variant};
use crate::audition::{Clip, Knobs, Sound, gain_db, hertz, outline, parts, spectrum_db};
use crate::commands::{tell, tell_warnings};
use crate::following::Origin;

/// A page larger than this will not be opened gladly by any browser, in bytes.
const UNWIELDY: u64 = 300_000_000;
/// Most attempts at meeting a size.
const ATTEMPTS: usize = 6;

/// An option with the controls in one position.
struct Place<'a> {
    option: usize,
    planned: &'a Planned,
    controls: Controls,
}

/// Makes a page. Everything that can be wrong with the order is found before the first sample is rendered.
pub(super) fn run(arguments: &Audition) -> Result<(), Failure> {
    let order = asked::order(arguments)?;
    let plan = Plan::new(&order)?;
    let files: Vec<PathBuf> = order.takes.iter().map(|take| take.file.clone()).collect();
    let to = writing::Destinations::new(arguments, &files);
    to.check()?;
    let mut takes = takes::takes(&order, &plan)?;
    plan.options.iter().for_each(|option| tell_warnings(&option.stand.assembly));
    tell(recorded(&plan, order.takes.is_empty()));
    let mut attempts = 0;
    let (page, payload) = loop {
        let (page, payload) = made(&order, &plan, &takes, to.folder())?;
        let overhead = page.overhead(&payload).map_err(|error| to.page_refused(error))?;
        let sound = page.sound_bytes(&payload);
        match order.size.map(|size| (size * 1e6) as u64) {
            Some(most) if overhead + sound > most => shorten(&mut takes, most, overhead, sound, &mut attempts)?,
            _ => break (page, payload),
        }
    };
    let bytes = to.write(&order, &page, payload)?;
    said(arguments, &page, bytes)
}

fn made(order: &Order, plan: &Plan, takes: &[Named], folder: &Path) -> Result<(Page, Payload), Failure> {
    let places = places(plan);
    let clips = clips(plan, &places, takes, folder)?;
    let mut rates: Vec<u32> = takes.iter().map(|take| take.take.sample_rate).collect();
    rates.sort_unstable();
    rates.dedup();
    let surveyed: Result<Vec<Surveyed>, Failure> = plan.options.par_iter().map(surveyed).collect();
    let surveyed = surveyed?;
    let tell = |place: &Place<'_>| variant(plan, place, &surveyed[place.option], &rates);
    let told: Result<Vec<_>, Failure> = places.par_iter().map(tell).collect();
    let mut payload = Payload { clips, filters: Vec::new() };
    let variants = told?.into_iter().map(|(variant, knobs)| with_knobs(variant, knobs, &mut payload)).collect();
    let take = |(take, clips): (&Named, &Vec<Clip>)| PageTake {
        name: take.name.clone(),
        rate: take.take.sample_rate,
        samples: take.take.samples.len(),
        outline: outline(&take.take.samples),
        spectrum: rounded(spectrum_db(&take.take.samples, take.take.sample_rate)),
        clips: levels::gains(clips),
    };
    let mut page = Page {
        id: String::new(),
        title: order.title.clone().unwrap_or_else(|| "Audition".into()),
        client: order.client.clone(),
        recorded: recorded(plan, order.takes.is_empty()),
        hertz: rounded(hertz()),
        takes: takes.iter().zip(&payload.clips).map(take).collect(),
        options: plan.options.iter().zip(&surveyed).enumerate().map(option).collect(),
        variants,
    };
    page.identify(&payload).map_err(Failure::Output)?;
    Ok((page, payload))
}

fn places(plan: &Plan) -> Vec<Place<'_>> {
    let of = |(option, planned): (usize, &'_ Planned)| -> Vec<(usize, u8)> {
        planned.positions.iter().map(|&position| (option, position)).collect()
    };
    let pairs = plan.options.iter().enumerate().flat_map(of);
    pairs
        .map(|(option, position)| {
            let planned = &plan.options[option];
            let mut controls = planned.stand.controls;
            controls.position = position;
            Place { option, planned, controls }
        })
        .collect()
}

/// Renders every take as recorded and through every place.
fn clips(plan: &Plan, places: &[Place<'_>], takes: &[Named], folder: &Path) -> Result<Vec<Vec<Clip>>, Failure> {
    let samples: usize = takes.iter().map(|take| take.take.samples.len() * (places.len() + 1)).sum();
    let bar = ProgressBar::new(samples as u64).with_style(style());
    let recorded = &plan.recorded;
    let mut all = Vec::new();
    // One take after the other: what a take's follower knows is large.
    for take in takes {
        let origin = Origin::new(&recorded.assembly, &recorded.controls, &take.take, plan.follow);
        let origin = origin.map_err(|source| Failure::Conversion { place: recorded.name.clone(), source })?;
        let sounds: Vec<Option<&Place<'_>>> = std::iter::once(None).chain(places.iter().map(Some)).collect();
        let made: Result<Vec<Clip>, Failure> =
            sounds.par_iter().map(|place| clip(&origin, take, *place, folder, &bar)).collect();
        all.push(made?);
    }
    bar.finish_and_clear();
    Ok(all)
}

fn clip(
    origin: &Origin<'_>,
    take: &Named,
    place: Option<&Place<'_>>,
    folder: &Path,
    bar: &ProgressBar,
) -> Result<Clip, Failure> {
    let sound = match place {
        None => Sound::Recorded,
        Some(Place { planned, controls, .. }) => {
            let failed = |source| Failure::Conversion { place: planned.stand.name.clone(), source };
            let way = origin.way(&planned.stand.assembly, controls).map_err(failed)?;
            Sound::Through(way.conversion, way.follower, *controls)
        }
    };
    Clip::make(&take.take, &sound, folder, |done| bar.inc(done as u64)).map_err(|source| writing::disk(folder, source))
}

fn conversion(plan: &Plan, place: &Place<'_>, sample_rate: u32) -> Result<Conversion, Failure> {
    let grid = Grid::up_to(f64::from(sample_rate) / 2.0);
    let failed = |name: &str| {
        let place = name.to_string();
        move |source| Failure::Conversion { place, source }
    };
    let recorded = &plan.recorded;
    let circuit = Recorded::new(&recorded.assembly, &recorded.controls, &grid).map_err(failed(&recorded.name))?;
    let stand = &place.planned.stand;
    Conversion::new(&circuit, &stand.assembly).map_err(failed(&stand.name))
}

/// What the page says of a place, and its knobs at each rate.
fn variant(
    plan: &Plan,
    place: &Place<'_>,
    surveyed: &Surveyed,
    rates: &[u32],
) -> Result<(Variant, Vec<(u32, Knobs)>), Failure> {
    let assembly = &place.planned.stand.assembly;
    let mut knobs = Vec::new();
    let mut told = None;
    for &rate in rates {
        let mut conversion = conversion(plan, place, rate)?;
        told = Some((conversion.assess(&place.controls), gain_db(&mut conversion, &place.controls)));
        knobs.extend(Knobs::new(&mut conversion, assembly, &place.controls, rate).map(|knobs| (rate, knobs)));
    }
    let (assessment, curve) = told.expect("there is a take, and it has a rate");
    let (trust, trust_sentence) = telling::trusted(&assessment, plan.follow);
    let variant = Variant {
        option: place.option,
        position: (assembly.controls.positions > 1).then_some(place.controls.position),
        sound: telling::heard(place.planned, &place.controls, surveyed.sound(place.controls.position)),
        controls: standing::controls(assembly, &place.controls),
        trust,
        trust_sentence,
        curve: rounded(curve),
        facts: surveyed.facts(place.controls.position),
        live: surveyed.live(place.planned, place.controls.position),
        knobs: Vec::new(),
    };
    Ok((variant, knobs))
}

fn with_knobs(mut variant: Variant, knobs: Vec<(u32, Knobs)>, payload: &mut Payload) -> Variant {
    for (rate, knobs) in knobs {
        let (told, filters) = PageKnobs::new(knobs, rate, payload.filters.len());
        variant.knobs.push(told);
        payload.filters.push(filters);
    }
    variant
}

fn surveyed(option: &Planned) -> Result<Surveyed, Failure> {
    let place = option.stand.name.clone();
    Surveyed::new(option).map_err(|source| Failure::Conversion { place, source: source.into() })
}

fn option((index, (planned, surveyed)): (usize, (&Planned, &Surveyed))) -> PageOption {
    let stand = &planned.stand;
    PageOption {
        title: stand.assembly.title.clone(),
        about: planned.about.clone(),
        changes: stand.changes.clone(),
        parts: parts(&stand.assembly),
        drawing: surveyed.drawing(index),
    }
}

fn rounded(values: Vec<f64>) -> Vec<f64> {
    values.into_iter().map(|value| (value * 100.0).round() / 100.0).collect()
}

fn recorded(plan: &Plan, demo: bool) -> String {
    let recorded = &plan.recorded;
    format!(
        "{} through: {}, {}, {}, on the guitar “{}”.",
        if demo { "A demo riff, played" } else { "Recorded" },
        recorded.assembly.title,
        standing::controls(&recorded.assembly, &recorded.controls),
        standing::load(&recorded.controls.load),
        recorded.assembly.guitar.title,
    )
}

/// Cuts the takes so that their sound fits beside the rest.
fn shorten(takes: &mut [Named], most: u64, overhead: u64, sound: u64, attempts: &mut usize) -> Result<(), Failure> {
    // A little less than the share, because a passage that is left may be denser than the mean.
    let share = 0.97 * most.saturating_sub(overhead) as f64 / sound as f64;
    *attempts += 1;
    for take in takes.iter_mut() {
        let samples = (take.take.samples.len() as f64 * share) as usize;
        if samples < (SHORTEST * f64::from(take.take.sample_rate)) as usize || *attempts > ATTEMPTS {
            let what = format!("no page of {:.1} MB can hold this many sounds", most as f64 / 1e6);
            return Err(Failure::Arguments { what, mend: "give a larger --size, or fewer options or takes".into() });
        }
        take.take.samples.truncate(samples);
    }
    Ok(())
}

fn style() -> ProgressStyle {
    ProgressStyle::with_template("rendering {wide_bar} {percent:>3} %  {eta} left")
        .unwrap_or_else(|_| ProgressStyle::default_bar())
}

fn said(arguments: &Audition, page: &Page, bytes: u64) -> Result<(), Failure> {
    use io::Write;
    let exact = page.variants.iter().filter(|variant| variant.trust == "exact").count();
    let seconds: f64 = page.takes.iter().map(|take| take.samples as f64 / f64::from(take.rate)).sum();
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{} sounds of {} wirings ({exact} exact, the rest estimated), {} of music, page {}, {:.1} MB",
        page.variants.len(),
        page.options.len(),
        takes::lasting(seconds),
        page.id,
        bytes as f64 / 1e6
    )?;
    if bytes > UNWIELDY {
        tell("this page is too large for most mail and phones: give --seconds or --size");
    }
    let place = std::path::absolute(&arguments.output).unwrap_or_else(|_| arguments.output.clone());
    writeln!(out, "settings: {}", writing::settings_path(&arguments.output).display())?;
    writeln!(out, "open in a browser: {}", place.display())?;
    Ok(())
}

/// Errors of the page's own making are the disk's.
impl writing::Destinations<'_> {
    fn page_refused(&self, error: io::Error) -> Failure {
        Failure::Result(WriteError::Unwritable { path: self.page().to_owned(), source: error })
    }
}
