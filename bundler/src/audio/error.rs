//! What can go wrong with a sound file: what, where, and what would mend it.

use std::io;
use std::path::PathBuf;

use super::{Channel, MOST_CHANNELS, SAMPLE_RATES};

/// Why a file did not become a take.
#[derive(Debug, thiserror::Error)]
#[expect(missing_docs, reason = "the fields are named in each message")]
pub enum ReadError {
    /// No such file.
    #[error("{}: no such file; check the spelling and the folder", path.display())]
    Missing { path: PathBuf },

    /// A folder, a pipe or a device.
    #[error("{}: {what}, not a file; name a WAV, AIFF or FLAC file", path.display())]
    NotAFile { path: PathBuf, what: &'static str },

    /// The operating system refused.
    #[error("{}: cannot be read ({source}); check its permissions and its disk", path.display())]
    Unreadable { path: PathBuf, source: io::Error },

    /// Nothing in the file says that it is one of the formats.
    #[error("{}: not a WAV, AIFF (AIFF-C) or FLAC file; export the take as one of these", path.display())]
    NotAudio { path: PathBuf },

    /// One of the formats, but in a form that the decoder does not know.
    #[error("{}: {format} that cannot be decoded ({detail}); export the take as WAV, 24 bit", path.display())]
    Undecodable { path: PathBuf, format: &'static str, detail: String },

    /// More channels than [`MOST_CHANNELS`].
    #[error("{}: has {channels} channels, at most {MOST_CHANNELS} can be read; export the guitar's channel alone", path.display())]
    TooManyChannels { path: PathBuf, channels: usize },

    /// The file ends before its header says.
    #[error(
        "{}: truncated: {read_seconds:.3} s of the {promised_seconds:.3} s that its header promises can be read; \
         copy or export it again", path.display()
    )]
    Truncated { path: PathBuf, read_seconds: f64, promised_seconds: f64 },

    /// Something within the file is broken.
    #[error("{}: damaged after {read_seconds:.3} s ({detail}); copy or export it again", path.display())]
    Damaged { path: PathBuf, read_seconds: f64, detail: String },

    /// A header without samples.
    #[error("{}: empty, it holds no samples; a recorder that was cut off leaves such a file: record or export it again", path.display())]
    Empty { path: PathBuf },

    /// A rate outside [`SAMPLE_RATES`].
    #[error(
        "{}: sampled at {sample_rate} Hz, which is not between {} and {} Hz; export the take at 44100 or 48000 Hz",
        path.display(), SAMPLE_RATES.start(), SAMPLE_RATES.end()
    )]
    RateOutOfRange { path: PathBuf, sample_rate: u32 },

    /// Samples that are no number or infinite.
    #[error(
        "{}: {count} samples are not finite numbers, the first at {seconds:.3} s in channel {channel}; export it again, \
         as 24 bit", path.display()
    )]
    NotFinite { path: PathBuf, count: usize, channel: usize, seconds: f64 },

    /// No channel rises above [`super::SILENCE`].
    #[error("{}: silent, {}; check which track was exported", path.display(), loudest(*peak_db))]
    Silent { path: PathBuf, peak_db: f32 },

    /// A channel was asked for that is not there.
    #[error("{}: has no channel {asked}, only 1 to {channels}; choose one of these with --channel", path.display())]
    ChannelMissing { path: PathBuf, asked: Channel, channels: usize },

    /// The channel, or the mix, has nothing in it although another channel has.
    #[error(
        "{}: channel {asked} is silent, {}; choose another with --channel, for instance {loud}",
        path.display(), loudest(*peak_db)
    )]
    ChannelSilent { path: PathBuf, asked: Channel, peak_db: f32, loud: usize },
}

/// Why a result was not written. Whenever one of these is returned, the file system is as it was.
#[derive(Debug, thiserror::Error)]
#[expect(missing_docs, reason = "the fields are named in each message")]
pub enum WriteError {
    /// The destination is the take itself, under this or another name.
    #[error("{}: is the take {}; a take is never overwritten: choose another name", path.display(), take.display())]
    IsTake { path: PathBuf, take: PathBuf },

    /// Something is there already and overwriting was not asked for.
    #[error("{}: exists already; choose another name, or ask for it to be overwritten", path.display())]
    Exists { path: PathBuf },

    /// The destination cannot be a file.
    #[error("{}: {what}, not a file; name a file to be written", path.display())]
    NotAFile { path: PathBuf, what: &'static str },

    /// The folder is not there.
    #[error("{}: the folder {} does not exist; create it first, or choose another", path.display(), folder.display())]
    FolderMissing { path: PathBuf, folder: PathBuf },

    /// The operating system refused.
    #[error("{}: cannot be written ({source}); check the folder's permissions and the free space", path.display())]
    Unwritable { path: PathBuf, source: io::Error },

    /// A sample is beyond what 24 bits can hold.
    #[error(
        "{}: the loudest sample is {peak_db:.2} dB above full scale and would clip in 24 bits; write float, or lower the \
         level by {peak_db:.2} dB", path.display()
    )]
    Clips { path: PathBuf, peak_db: f32 },

    /// A sample that is no number or infinite.
    #[error("{}: not written, sample {sample} of channel {channel} is not a finite number; please report this", path.display())]
    NotFinite { path: PathBuf, channel: usize, sample: usize },

    /// Channels that do not make a file.
    #[error("{}: not written, {detail}; please report this", path.display())]
    Shape { path: PathBuf, detail: String },

    /// More than a WAV file can hold.
    #[error("{}: {bytes} bytes of sound are more than the 4 GiB that a WAV file holds; write a shorter take", path.display())]
    TooLong { path: PathBuf, bytes: u64 },
}

/// How loud the loudest sample is, in words.
fn loudest(peak_db: f32) -> String {
    if peak_db.is_finite() {
        format!("its highest peak is {peak_db:.0} dBFS")
    } else {
        "every sample is zero".to_owned()
    }
}
