//! One pass as it was recorded, into notes: when each begins, its pitch and stiffness, and how strong its partials are.

mod glide;
mod onsets;
mod partials;
mod pitch;
mod series;
mod spectrum;

use std::ops::Range;

use realfft::RealFftPlanner;

pub(super) use partials::HeardPartial;
use series::Series;
use spectrum::{Spectrum, window_samples};

/// One note of a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct HeardNote {
    /// When it begins, in seconds from the start.
    pub start: f64,
    /// Its pitch once it has settled, f0 in f_n = n f0 sqrt(1 + B n^2), in hertz.
    pub fundamental: f64,
    /// B in the same, and its standard deviation.
    pub inharmonicity: (f64, f64),
    /// Level of its partials.
    pub(super) partials: Vec<HeardPartial>,
    /// Whether other tones sound with it.
    pub crowded: bool,
    /// Whether it was clipped.
    pub clipped: bool,
    /// Whether it stays on its pitch: not bent, no vibrato.
    pub steady: bool,
}

impl HeardNote {
    /// Whether its pitch and its partials are those of one string.
    pub fn is_clear(&self) -> bool {
        self.steady && !self.crowded && !self.clipped
    }
}

/// What was heard of one pass.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    /// Notes with a pitch, in the order of time.
    pub notes: Vec<HeardNote>,
    /// When sounds began that have no pitch or are too short, in seconds.
    pub unpitched: Vec<f64>,
    /// Length of the recording, in seconds.
    pub seconds: f64,
}

/// Pitches of notes that are looked for, in hertz: half an octave below the lowest open string of a guitar in standard tuning up to the
/// 24th fret of its highest.
pub const PITCHES: (f64, f64) = (58.0, 1400.0);

/// Listens to one pass, in which notes are played one at a time.
pub fn listen(samples: &[f32], sample_rate: f64) -> Heard {
    let ranges = onsets::notes(samples, sample_rate, &mut RealFftPlanner::new());
    listen_within(samples, sample_rate, ranges)
}

/// Listens to a take as it was played, in which some notes are by themselves.
pub fn listen_freely(samples: &[f32], sample_rate: f64) -> Heard {
    listen_within(samples, sample_rate, onsets::freely(samples, sample_rate))
}

fn listen_within(samples: &[f32], sample_rate: f64, ranges: Vec<Range<usize>>) -> Heard {
    let mut planner = RealFftPlanner::new();
    let mut heard = Heard { notes: Vec::new(), unpitched: Vec::new(), seconds: samples.len() as f64 / sample_rate };
    let peak = samples.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
    for range in ranges {
        let start = range.start as f64 / sample_rate;
        match note(samples, range, sample_rate, peak, &mut planner) {
            Some(note) => heard.notes.push(note),
            None => heard.unpitched.push(start),
        }
    }
    heard
}

/// Seconds after the onset from which a note's pitch is looked at, from which its stiffness, and from which its pitch has settled. A note
/// glides down to its pitch and high partials die first, so that they would be heard too sharp and the string too stiff.
const ATTACK: f64 = 0.03;
const STIFFNESS: f64 = 0.12;
const SETTLED: f64 = 0.3;
/// The shortest and the longest stretch for pitch and stiffness, in seconds.
const STRETCH: (f64, f64) = (0.17, 0.7);

fn note(
    samples: &[f32],
    range: Range<usize>,
    rate: f64,
    peak: f32,
    planner: &mut RealFftPlanner<f64>,
) -> Option<HeardNote> {
    let after = |seconds: f64| range.start + (seconds * rate) as usize;
    // The next attack's frames begin before its onset.
    let end = range.end.checked_sub((0.02 * rate) as usize)?;
    let stretch = |from: usize| {
        let longest = window_samples(STRETCH.1, rate);
        let room = end.checked_sub(from)?;
        let length = if room == 0 { 0 } else { longest.min(1 << room.ilog2()) };
        (length >= window_samples(STRETCH.0, rate)).then(|| from..from + length)
    };
    let early = stretch(after(ATTACK))?;
    let spectrum = Spectrum::of(&samples[early.clone()], rate, planner);
    let pitch = pitch::pitch(&spectrum, PITCHES, planner)?;
    let later = &samples[stretch(after(STIFFNESS)).unwrap_or(early.clone())];
    let gliding = Series::fit(&Spectrum::of(later, rate, planner), pitch)?;
    let held = glide::taken_out(later, &gliding, rate, planner);
    let series = Series::fit(&Spectrum::of(&held, rate, planner), pitch)?;
    let late = stretch(after(SETTLED)).unwrap_or(early);
    let settled = series.retuned(&Spectrum::of(&samples[late], rate, planner))?;
    let partials = partials::measure(samples, range.start, end, rate, &series, planner)?;
    Some(HeardNote {
        start: range.start as f64 / rate,
        fundamental: settled.fundamental,
        inharmonicity: (series.inharmonicity, series.inharmonicity_sd),
        partials,
        crowded: crowded(&spectrum, &series),
        steady: is_steady(samples, after(STIFFNESS)..end, rate, &series, planner),
        clipped: clipped(&samples[range.start.saturating_sub((0.02 * rate) as usize)..end], peak),
    })
}

/// Whether its pitch stays where it is. A note glides down to its pitch by some cents; who bends or shakes a string does more. What is left
/// when the string was damped (hum, the other strings) has a pitch of its own and does not count.
fn is_steady(
    samples: &[f32],
    range: Range<usize>,
    rate: f64,
    series: &Series,
    planner: &mut RealFftPlanner<f64>,
) -> bool {
    const WINDOW: f64 = 0.085;
    const CENTS: f64 = 15.0;
    /// As loud as this against the loudest frame the note still sounds.
    const SOUNDS: f64 = 0.1;
    let window = window_samples(WINDOW, rate);
    let Some(within) = samples.get(range) else { return true };
    let heard = |frame: &[f32]| {
        let spectrum = Spectrum::of(frame, rate, planner);
        Some((spectrum.loudest(), series.retuned(&spectrum)?.fundamental))
    };
    let frames: Vec<(f64, f64)> = within.windows(window).step_by(window / 2).filter_map(heard).collect();
    let loudest = frames.iter().map(|frame| frame.0).fold(0.0, f64::max);
    let sounding = frames.iter().filter(|frame| frame.0 > SOUNDS * loudest);
    let pitches: Vec<f64> = sounding.map(|frame| frame.1).collect();
    let (low, high) =
        pitches.iter().fold((f64::MAX, f64::MIN), |(low, high), &pitch| (low.min(pitch), high.max(pitch)));
    pitches.is_empty() || 1200.0 * (high / low).log2() < CENTS
}

/// Whether two or more strong tones belong to no partial of the note.
fn crowded(spectrum: &Spectrum, series: &Series) -> bool {
    /// As strong as this against the strongest partial.
    const STRONG: f64 = 0.1;
    const TOP_HERTZ: f64 = 3000.0;
    let tones = spectrum.tones_above(0.0, TOP_HERTZ);
    let loudest = tones.iter().fold(0.0f64, |max, tone| max.max(tone.amplitude));
    let is_stranger = |hertz: f64| {
        let nearest = ((hertz / series.fundamental).round() as usize).max(1);
        let reach = (0.012 * hertz).max(5.0 * spectrum.spacing());
        (nearest.saturating_sub(1).max(1)..=nearest + 1).all(|n| (series.partial(n) - hertz).abs() > reach)
    };
    tones.iter().filter(|tone| tone.amplitude > STRONG * loudest && is_stranger(tone.hertz)).count() >= 2
}

/// Whether the loudest level of the recording is held for several samples at a time, again and again.
fn clipped(samples: &[f32], peak: f32) -> bool {
    const RUN: usize = 3;
    const RUNS: usize = 3;
    let (mut run, mut runs) = (0, 0);
    for sample in samples {
        run = if sample.abs() >= 0.999 * peak { run + 1 } else { 0 };
        runs += usize::from(run == RUN);
    }
    runs >= RUNS
}
