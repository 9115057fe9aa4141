//! The knobs a listener may turn on the playing take: what each does to the rendered sound, as short filters on a grid.
//!
//! A filter turns the sound as rendered into the sound with the knobs elsewhere. Both filters are of minimum phase, and so is
//! their ratio, so the rendered clip through the short filter is what a render with the knobs there gives, up to the stated error.

use std::f64::consts::LN_10;

use dryfit_dsp::conversion::{Controls, Conversion, Grid, Recorded, Target};
use dryfit_dsp::document::Assembly;

use super::short_filter::{ShortFilter, Workshop};

/// One knob that can be turned.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What the wiring calls it.
    pub label: String,
    /// Where it stands on the grid, ascending, 0 to 10.
    pub values: Vec<f64>,
    /// Where it stands in the rendered sound; one of the values.
    pub at: f64,
    /// Whether turning it changes the circuit's part alone.
    pub exact: bool,
}

/// What the knobs do.
#[derive(Debug, Clone)]
pub struct Knobs {
    /// One or two knobs; the last runs fastest.
    pub axes: Vec<Axis>,
    /// Taps of each filter; those that change little are short.
    pub lengths: Vec<usize>,
    /// What a code of each filter is worth.
    pub scales: Vec<f32>,
    /// The filters, one after the other.
    pub codes: Vec<i16>,
    /// By how much a filter is off where the knobs stand on the grid, at most, from 80 Hz to 10 kHz and down to -50 dB.
    pub error_db: f64,
    /// The same half-way between two values of a knob, where the page mixes the neighbours.
    pub between_db: f64,
}

/// Most knobs at a time; each further one would make the page eleven times larger.
const MOST_KNOBS: usize = 2;
/// A knob that changes nothing by more than this has nothing to turn, in dB.
const AUDIBLE_DB: f64 = 0.1;
/// A knob that turns everything down by this is a volume, in dB.
const MUTED_DB: f64 = -60.0;
/// A rendered sound that would have to be lifted by more than this holds too little, in dB.
const MOST_LIFT_DB: f64 = 30.0;
/// Filters deeper than this are not held to account, in dB.
const DEEPEST_DB: f64 = -50.0;

type LogGain = [f64; Grid::POINTS];

impl Knobs {
    /// The knobs of an option that matter where its controls stand; none where nothing can be turned.
    pub fn new(conversion: &mut Conversion, option: &Assembly, controls: &Controls, sample_rate: u32) -> Option<Self> {
        let mut change = Change::new(conversion, controls);
        let knobs = turnable(&mut change, option, controls);
        if knobs.is_empty() {
            return None;
        }
        let exactness = exactness(option, controls, change.conversion.grid());
        let axis = |&(knob, ref label): &(usize, String)| axis(label, controls.knobs[knob], knob, &exactness);
        let axes: Vec<Axis> = knobs.iter().map(axis).collect();
        let places = places(&knobs, &axes, controls);
        let mut workshop = Workshop::new(change.conversion.grid(), sample_rate);
        let wanted: Vec<LogGain> = places.iter().map(|place| change.at(place)).collect();
        let lifts = wanted.iter().flatten().any(|gain| db(*gain) > MOST_LIFT_DB);
        if lifts {
            return None;
        }
        let short: Vec<ShortFilter> =
            wanted.iter().map(|log_gain| ShortFilter::new(&workshop.taps(log_gain))).collect();
        let ruler = Ruler::new(change.conversion.grid(), sample_rate);
        let error_db =
            short.iter().zip(&wanted).map(|(filter, wanted)| ruler.off(&[filter], wanted)).fold(0.0, f64::max);
        let between_db = between(&mut change, &ruler, &places, &short, axes.last().map_or(1, |axis| axis.values.len()));
        let lengths = short.iter().map(|filter| filter.codes.len()).collect();
        let scales = short.iter().map(|filter| filter.scale).collect();
        let codes = short.into_iter().flat_map(|filter| filter.codes).collect();
        Some(Self { axes, lengths, scales, codes, error_db, between_db })
    }
}

/// What turning knobs changes in the rendered sound.
struct Change<'a> {
    conversion: &'a mut Conversion,
    rendered: LogGain,
}

impl<'a> Change<'a> {
    fn new(conversion: &'a mut Conversion, controls: &Controls) -> Self {
        let mut rendered = [0.0; Grid::POINTS];
        conversion.write(controls, &mut rendered);
        Self { conversion, rendered }
    }

    fn at(&mut self, controls: &Controls) -> LogGain {
        let mut log_gain = [0.0; Grid::POINTS];
        self.conversion.write(controls, &mut log_gain);
        log_gain.iter_mut().zip(&self.rendered).for_each(|(gain, rendered)| *gain -= rendered);
        log_gain
    }
}

fn db(log_gain: f64) -> f64 {
    log_gain * 20.0 / LN_10
}

fn turned(controls: &Controls, knob: usize, to: f64) -> Controls {
    let mut turned = *controls;
    turned.knobs[knob] = to;
    turned
}

/// The knobs that change the sound without muting it, those that change it most first.
fn turnable(change: &mut Change<'_>, option: &Assembly, controls: &Controls) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let labels = option.controls.knobs.iter().take(Controls::KNOBS).enumerate();
    for (knob, label) in labels.filter_map(|(knob, label)| Some((knob, label.clone()?))) {
        let ends = [0.0, 10.0].map(|end| change.at(&turned(controls, knob, end)));
        let mutes = ends.iter().any(|end| end.iter().all(|gain| db(*gain) < MUTED_DB));
        let most = ends.iter().flatten().map(|gain| db(*gain).abs()).fold(0.0, f64::max);
        if !mutes && most > AUDIBLE_DB {
            found.push((most, knob, label));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(MOST_KNOBS);
    found.sort_by_key(|(_, knob, _)| *knob);
    found.into_iter().map(|(_, knob, label)| (knob, label)).collect()
}

/// Says of a knob whether turning it leaves the pickups' proportions alone.
fn exactness(option: &Assembly, controls: &Controls, grid: &Grid) -> impl Fn(usize) -> bool + use<> {
    let rendered = Recorded::new(option, controls, grid);
    let conversion = rendered.and_then(|rendered| Conversion::new(&rendered, option)).ok();
    let controls = *controls;
    move |knob| {
        let Some(conversion) = &conversion else { return false };
        [0.0, 5.0, 10.0].iter().all(|to| conversion.clone().assess(&turned(&controls, knob, *to)).exact)
    }
}

fn axis(label: &str, at: f64, knob: usize, exactness: &impl Fn(usize) -> bool) -> Axis {
    let mut values: Vec<f64> = (0..=10).map(f64::from).collect();
    if !values.contains(&at) {
        values.push(at);
        values.sort_by(f64::total_cmp);
    }
    Axis { label: label.into(), values, at, exact: exactness(knob) }
}

/// Every place of the knobs on the grid, the last knob running fastest.
fn places(knobs: &[(usize, String)], axes: &[Axis], controls: &Controls) -> Vec<Controls> {
    let mut places = vec![*controls];
    for ((knob, _), axis) in knobs.iter().zip(axes) {
        let along = |place: &Controls| axis.values.iter().map(|&to| turned(place, *knob, to)).collect::<Vec<_>>();
        places = places.iter().flat_map(along).collect();
    }
    places
}

/// By how much a mix of two neighbours is off the sound half-way between them, at most. `row` is the length of the last axis.
fn between(change: &mut Change<'_>, ruler: &Ruler, places: &[Controls], short: &[ShortFilter], row: usize) -> f64 {
    let along = (0..places.len()).filter(|i| (i + 1) % row != 0).map(|i| (i, i + 1));
    let across = (row..places.len()).map(|i| (i - row, i));
    let pairs: Vec<(usize, usize)> = along.chain(across).collect();
    let mut off = |&(one, other): &(usize, usize)| {
        let mut middle = places[one];
        middle.knobs.iter_mut().zip(places[other].knobs).for_each(|(knob, other)| *knob = (*knob + other) / 2.0);
        ruler.off(&[&short[one], &short[other]], &change.at(&middle))
    };
    pairs.iter().map(&mut off).fold(0.0, f64::max)
}

/// Holds filters against what they should do.
struct Ruler {
    grid: Grid,
    sample_rate: u32,
    points: Vec<usize>,
}

impl Ruler {
    fn new(grid: &Grid, sample_rate: u32) -> Self {
        let heard = |&point: &usize| (80.0..=10_000.0).contains(&grid.hertz()[point]);
        Self { points: (0..Grid::POINTS).filter(heard).step_by(3).collect(), grid: grid.clone(), sample_rate }
    }

    /// The most by which the mean of the filters is off, in dB.
    fn off(&self, filters: &[&ShortFilter], wanted: &LogGain) -> f64 {
        let off = |&point: &usize| {
            let hertz = self.grid.hertz()[point];
            let sum =
                filters.iter().map(|filter| filter.response(hertz, self.sample_rate)).sum::<num_complex::Complex64>();
            (db((sum.norm() / filters.len() as f64).ln()) - db(wanted[point])).abs()
        };
        let loud = self.points.iter().filter(|point| db(wanted[**point]) > DEEPEST_DB);
        loud.map(off).fold(0.0, f64::max)
    }
}
