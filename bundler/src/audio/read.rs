//! A file as a recording: all its channels, checked.

use std::fs::{self, File};
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use super::decode::{Decoded, End, decode};
use super::header::{Container, Header};
use super::{MOST_CHANNELS, ReadError, SAMPLE_RATES, SILENCE, db, peak};

/// All that a sound file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Where it was read.
    pub path: PathBuf,
    /// In hertz.
    pub sample_rate: u32,
    /// One list of samples per channel, all of one length; finite, full scale 1 (see the module).
    pub channels: Vec<Vec<f32>>,
    /// What the file was, as `WAV, 24 bit, 48000 Hz, 2 channels, 12.350 s`.
    pub note: String,
}

/// Reads a WAV, AIFF (also AIFF-C) or FLAC file: 1 to [`MOST_CHANNELS`] channels, [`SAMPLE_RATES`], 8 to 32 bit, 32 and 64 bit float.
///
/// A file that breaks off or whose checksum is wrong is refused rather than read in part, so that nothing of a take is lost unnoticed.
/// The name's ending is not looked at, the content is.
///
/// # Errors
///
/// See [`ReadError`]; each says what would mend it.
pub fn read(path: impl AsRef<Path>) -> Result<Recording, ReadError> {
    let path = path.as_ref();
    let unreadable = |source| ReadError::Unreadable { path: path.to_owned(), source };
    let mut file = open(path)?;
    let header = match Header::read(&mut file).map_err(unreadable)? {
        Some(header) => header,
        None if file.metadata().map_err(unreadable)?.len() == 0 => {
            return Err(ReadError::Empty { path: path.to_owned() });
        }
        None => {
            return Err(ReadError::NotAudio { path: path.to_owned() });
        }
    };
    if let Some(channels) = header.channels.map(usize::from).filter(|&channels| channels > MOST_CHANNELS) {
        return Err(ReadError::TooManyChannels { path: path.to_owned(), channels });
    }
    // A decoder that meets a header nobody thought of may panic; for the player that is a file that cannot be decoded.
    let decoded = catch_unwind(AssertUnwindSafe(|| decode(&file)))
        .unwrap_or_else(|_| Err("the decoder gave up on it".to_owned()))
        .map_err(|detail| undecodable(path, header.container, detail))?;
    checked(path, &header, decoded)
}

fn open(path: &Path) -> Result<File, ReadError> {
    let cannot = |source: io::Error| match source.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => ReadError::Missing { path: path.to_owned() },
        _ => ReadError::Unreadable { path: path.to_owned(), source },
    };
    let what = match fs::metadata(path).map_err(cannot)? {
        kind if kind.is_file() => return File::open(path).map_err(cannot),
        kind if kind.is_dir() => "a folder",
        _ => "a pipe or a device",
    };
    Err(ReadError::NotAFile { path: path.to_owned(), what })
}

fn undecodable(path: &Path, container: Container, detail: String) -> ReadError {
    let path = path.to_owned();
    match container {
        Container::Tagged => ReadError::NotAudio { path },
        _ => ReadError::Undecodable { path, format: container.name(), detail },
    }
}

fn checked(path: &Path, header: &Header, decoded: Decoded) -> Result<Recording, ReadError> {
    let sample_rate = decoded.sample_rate;
    if !SAMPLE_RATES.contains(&sample_rate) {
        return Err(ReadError::RateOutOfRange { path: path.to_owned(), sample_rate });
    }
    complete(path, header, &decoded)?;
    let channels = decoded.channels;
    let frames = channels.first().map_or(0, Vec::len);
    if frames == 0 {
        return Err(ReadError::Empty { path: path.to_owned() });
    }
    finite(path, sample_rate, &channels)?;
    let loudest = channels.iter().map(|channel| peak(channel)).fold(0.0, f32::max);
    if loudest < SILENCE {
        return Err(ReadError::Silent { path: path.to_owned(), peak_db: db(loudest) });
    }
    let note = note(header.container, &decoded.encoding, sample_rate, channels.len(), frames);
    Ok(Recording { path: path.to_owned(), sample_rate, channels, note })
}

/// Everything that the file promises is there.
fn complete(path: &Path, header: &Header, decoded: &Decoded) -> Result<(), ReadError> {
    let seconds = |frames: u64| frames as f64 / f64::from(decoded.sample_rate);
    let frames = decoded.channels.first().map_or(0, Vec::len) as u64;
    let promised = decoded.promised_frames.max(header.frames.map(u64::from));
    let read_seconds = seconds(frames);
    let damaged = |detail: &str| ReadError::Damaged { path: path.to_owned(), read_seconds, detail: detail.to_owned() };
    match (&decoded.end, promised) {
        (End::Refused(detail), _) => Err(damaged(detail)),
        (_, Some(promised)) if frames < promised => {
            Err(ReadError::Truncated { path: path.to_owned(), read_seconds, promised_seconds: seconds(promised) })
        }
        // Without a promised length the end of the file is the end: recorders that write to a pipe leave such headers.
        _ => Ok(()),
    }
}

fn finite(path: &Path, sample_rate: u32, channels: &[Vec<f32>]) -> Result<(), ReadError> {
    let bad = |channel: &Vec<f32>| channel.iter().filter(|sample| !sample.is_finite()).count();
    let first = channels
        .iter()
        .enumerate()
        .filter_map(|(index, channel)| Some((channel.iter().position(|sample| !sample.is_finite())?, index)))
        .min();
    first.map_or(Ok(()), |(frame, index)| {
        Err(ReadError::NotFinite {
            path: path.to_owned(),
            count: channels.iter().map(bad).sum(),
            channel: index + 1,
            seconds: frame as f64 / f64::from(sample_rate),
        })
    })
}

fn note(container: Container, encoding: &str, sample_rate: u32, channels: usize, frames: usize) -> String {
    let seconds = frames as f64 / f64::from(sample_rate);
    let plural = if channels == 1 { "" } else { "s" };
    // 6.02 dB a bit plus 1.76 dB for a full-scale sine: W. R. Bennett, Spectra of quantized signals, 1948.
    let coarse =
        if encoding == "8 bit" { "; 8 bits leave noise 50 dB below full scale, 24 would be better" } else { "" };
    format!("{}, {encoding}, {sample_rate} Hz, {channels} channel{plural}, {seconds:.3} s{coarse}", container.name())
}
