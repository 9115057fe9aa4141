//! Results as WAV files that are either complete or not there.

use std::fs;
use std::io::{self, BufWriter, Seek, Write};
use std::path::Path;

use super::{Destination, WriteError, db, peak};

/// The most channels written: as many speaker places as a WAV header can name.
const MOST_CHANNELS: usize = 18;

/// The magnitude of the lowest 24-bit code.
const FULL_SCALE_24: f64 = 8_388_608.0;

/// How samples are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// 24-bit integers, rounded to the nearest code without dither: the rounding lies 149 dB below full scale
    /// (20 log10(2^-23 / sqrt 12)), under the noise of every converter and of the guitar itself, and the same take must give the same samples.
    Pcm24,
    /// 32-bit floats, as computed; may exceed full scale.
    Float32,
}

/// Writes `channels`, all of one length and full scale 1, as a WAV file of `sample_rate` hertz.
///
/// The samples go to a temporary file in the same folder, which takes the destination's name only when it is complete and on the disk; a
/// destination that is a symbolic link is replaced, not followed.
///
/// # Errors
///
/// See [`WriteError`]; after any of them nothing has changed.
pub fn write(
    to: &Destination<'_>,
    channels: &[impl AsRef<[f32]>],
    sample_rate: u32,
    depth: Depth,
) -> Result<(), WriteError> {
    let channels: Vec<&[f32]> = channels.iter().map(AsRef::as_ref).collect();
    writable(to.path, &channels, sample_rate, depth)?;
    to.write(|file| encode(file, &channels, sample_rate, depth))
}

/// Whether the channels make a file of this depth.
fn writable(path: &Path, channels: &[&[f32]], sample_rate: u32, depth: Depth) -> Result<(), WriteError> {
    let path = path.to_owned();
    let frames = channels.first().map_or(0, |channel| channel.len());
    if !(1..=MOST_CHANNELS).contains(&channels.len()) || channels.iter().any(|channel| channel.len() != frames) {
        let lengths: Vec<usize> = channels.iter().map(|channel| channel.len()).collect();
        let detail = format!("1 to {MOST_CHANNELS} channels of one length are needed, not {lengths:?}");
        return Err(WriteError::Shape { path, detail });
    }
    if !super::SAMPLE_RATES.contains(&sample_rate) {
        return Err(WriteError::Shape { path, detail: format!("{sample_rate} Hz is no sample rate") });
    }
    let bytes = frames as u64 * channels.len() as u64 * u64::from(bits(depth) / 8);
    // The header counts its own 72 bytes too.
    if bytes > u64::from(u32::MAX) - 100 {
        return Err(WriteError::TooLong { path, bytes });
    }
    for (index, channel) in channels.iter().enumerate() {
        if let Some(sample) = channel.iter().position(|sample| !sample.is_finite()) {
            return Err(WriteError::NotFinite { path, channel: index + 1, sample });
        }
    }
    let loudest = channels.iter().map(|channel| peak(channel)).fold(0.0, f32::max);
    if depth == Depth::Pcm24 && loudest > 1.0 {
        return Err(WriteError::Clips { path, peak_db: db(loudest) });
    }
    Ok(())
}

fn encode(file: &mut fs::File, channels: &[&[f32]], sample_rate: u32, depth: Depth) -> io::Result<()> {
    let mut buffered = BufWriter::new(file);
    encode_into(&mut buffered, channels, sample_rate, depth).map_err(|error| match error {
        hound::Error::IoError(source) => source,
        other => io::Error::other(other),
    })?;
    buffered.flush()
}

fn encode_into(
    file: &mut (impl Write + Seek),
    channels: &[&[f32]],
    sample_rate: u32,
    depth: Depth,
) -> hound::Result<()> {
    let sample_format = match depth {
        Depth::Pcm24 => hound::SampleFormat::Int,
        Depth::Float32 => hound::SampleFormat::Float,
    };
    let spec =
        hound::WavSpec { channels: channels.len() as u16, sample_rate, bits_per_sample: bits(depth), sample_format };
    let mut writer = hound::WavWriter::new(file, spec)?;
    for frame in 0..channels[0].len() {
        for channel in channels {
            match depth {
                Depth::Pcm24 => writer.write_sample(code_24(channel[frame]))?,
                Depth::Float32 => writer.write_sample(channel[frame])?,
            }
        }
    }
    writer.finalize()
}

fn bits(depth: Depth) -> u16 {
    match depth {
        Depth::Pcm24 => 24,
        Depth::Float32 => 32,
    }
}

/// The nearest 24-bit code; +1 itself, for which there is none, becomes the highest, 1e-6 dB below.
pub(crate) fn code_24(sample: f32) -> i32 {
    (f64::from(sample) * FULL_SCALE_24).round().min(FULL_SCALE_24 - 1.0) as i32
}
