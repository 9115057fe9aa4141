//! The takes of an order, no longer than a page can carry.

use std::fs::File;
use std::path::Path;

use symphonia::core::formats::TrackType;
use symphonia::core::formats::probe::Hint;
use symphonia::core::io::MediaSourceStream;

use super::plan::Plan;
use crate::audio::{self, Channel, Take};
use crate::audition::order::{Order, TakeOrder};
use crate::commands::tell;
use crate::{Failure, demo};

/// The longest recording that is read, in seconds: all of it lies in memory while the excerpt is taken.
const LONGEST_RECORDING: f64 = 3600.0;
/// The longest excerpt, in seconds: every option has a copy of it, and a browser holds all of them.
pub(super) const LONGEST: f64 = 600.0;
/// A shorter one cannot be measured for loudness (blocks of 400 ms: BS.1770).
pub(super) const SHORTEST: f64 = 1.0;

/// A take with what the listener calls it.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub(super) name: String,
    pub(super) take: Take,
}

/// Reads the takes of an order, or plays the demo.
pub(super) fn takes(order: &Order, plan: &Plan) -> Result<Vec<Named>, Failure> {
    let mut failures = bounds(order);
    Failure::all(std::mem::take(&mut failures))?;
    if order.takes.is_empty() {
        let recorded = &plan.recorded;
        let take = demo::take(&recorded.assembly, &recorded.controls)
            .map_err(|source| Failure::Conversion { place: recorded.name.clone(), source })?;
        return Ok(vec![Named { name: "Demo riff".into(), take: excerpt(take, order, "the demo riff")? }]);
    }
    let mut takes = Vec::new();
    for (index, asked) in order.takes.iter().enumerate() {
        let name = asked.name.clone().unwrap_or_else(|| format!("Take {}", index + 1));
        match read(asked, order) {
            Ok(take) => takes.push(Named { name, take }),
            Err(failure) => failures.push(failure),
        }
    }
    Failure::all(failures)?;
    Ok(takes)
}

fn bounds(order: &Order) -> Vec<Failure> {
    let mut failures = Vec::new();
    let mut hold = |key: &str, value: Option<f64>, least: f64, most: f64| {
        if let Some(value) = value.filter(|value| !(least..=most).contains(value)) {
            let what = format!("`{key}` is {value}");
            failures.push(Failure::Arguments { what, mend: format!("give {least} to {most}") });
        }
    };
    hold("from", order.from, 0.0, LONGEST_RECORDING);
    hold("seconds", order.seconds, SHORTEST, LONGEST);
    hold("size", order.size, 0.5, 2000.0);
    failures
}

fn read(asked: &TakeOrder, order: &Order) -> Result<Take, Failure> {
    let path = &asked.file;
    if let Some(seconds) = promised_seconds(path).filter(|seconds| *seconds > LONGEST_RECORDING) {
        let what = format!("{}: {} of recording are too long for a page", path.display(), lasting(seconds));
        return Err(Failure::Arguments {
            what,
            mend: "export the passage that matters, half a minute is plenty".into(),
        });
    }
    let channel = match asked.channel.as_deref().map(str::parse::<Channel>) {
        None => None,
        Some(Ok(channel)) => Some(channel),
        Some(Err(error)) => {
            return Err(Failure::Arguments { what: error.to_string(), mend: "correct the take's `channel`".into() });
        }
    };
    let (take, sentence) = audio::read(path).and_then(|recording| recording.take(channel))?;
    tell(sentence);
    excerpt(take, order, &path.display().to_string())
}

/// The part of a take that was asked for.
fn excerpt(mut take: Take, order: &Order, place: &str) -> Result<Take, Failure> {
    let rate = f64::from(take.sample_rate);
    let length = take.samples.len() as f64 / rate;
    let from = order.from.unwrap_or(0.0);
    let seconds = order.seconds.unwrap_or(f64::INFINITY).min(length - from);
    let refused = |what: String, mend: &str| Failure::Arguments { what, mend: mend.into() };
    if seconds < SHORTEST {
        let what = format!("{place}: {} are left from {from} s on", lasting(seconds.max(0.0)));
        return Err(refused(what, "give --from so that at least a second is left; one second is the least"));
    }
    if seconds > LONGEST {
        let what = format!("{place}: {} are more than the {} that a page carries", lasting(seconds), lasting(LONGEST));
        return Err(refused(what, "choose a passage with --from and --seconds; half a minute is plenty"));
    }
    take.samples.truncate(((from + seconds) * rate).round() as usize);
    take.samples.drain(..(from * rate).round() as usize);
    Ok(take)
}

/// How long a file says it is, without decoding it; nothing where it does not say.
fn promised_seconds(path: &Path) -> Option<f64> {
    let stream = MediaSourceStream::new(Box::new(File::open(path).ok()?), Default::default());
    // What a broken header does to the decoder is told when the file is read.
    let probed = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        let format =
            symphonia::default::get_probe().probe(&Hint::new(), stream, Default::default(), Default::default()).ok()?;
        let track = format.default_track(TrackType::Audio)?;
        let rate = track.codec_params.as_ref()?.audio()?.sample_rate?;
        Some(track.num_frames? as f64 / f64::from(rate))
    }));
    probed.ok().flatten()
}

/// A length of time for people.
pub(super) fn lasting(seconds: f64) -> String {
    match seconds {
        ..120.0 => format!("{seconds:.1} s"),
        120.0..7200.0 => format!("{:.0} minutes", seconds / 60.0),
        _ => format!("{:.1} hours", seconds / 3600.0),
    }
}
