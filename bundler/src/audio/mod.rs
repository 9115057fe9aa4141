//! Takes from WAV, AIFF and FLAC files, and results as WAV files.
//!
//! [`read()`] gives a [`Recording`]: every channel of the file as `f32`, full scale 1.0, nothing left out and nothing made up.
//! [`Recording::take`] picks the one signal that is the guitar and says in a sentence which one. [`write()`] puts channels into a
//! WAV file that is either complete or not there.
//!
//! # Full scale
//!
//! An integer sample of `b` bits is read as `x / 2^(b-1)`, so the lowest code is exactly -1 and the highest just under 1, and
//! written as `round(x 2^(b-1))`. RIFF/WAVE (Microsoft and IBM, *Multimedia Programming Interface and Data Specifications 1.0*,
//! 1991) fixes the codes, two's complement above 8 bits and offset binary (128 is zero) up to 8 bits, but not what 1.0 is; the power of
//! two is common practice (from memory; AES17 places 0 dBFS at a sine whose peak is the highest positive code, 1/32768 below this at 16
//! bits). With a power of two, 8, 16 and 24 bits come back from a float bit for bit.

mod channel;
mod decode;
mod destination;
mod error;
mod header;
mod read;
mod take;
mod write;

pub use channel::{Channel, UnknownChannel};
pub use destination::Destination;
pub use error::{ReadError, WriteError};
pub use read::{Recording, read};
pub use take::Take;
pub(crate) use write::code_24;
pub use write::{Depth, write};

/// Peaks below this count as silence: -100 dBFS, under the noise of any 16-bit converter. Common practice, no source.
pub const SILENCE: f32 = 1e-5;

/// The lowest and highest sample rate taken, in hertz: below, a guitar's brightness is gone; above, no converter records.
pub const SAMPLE_RATES: std::ops::RangeInclusive<u32> = 8_000..=384_000;

/// The most channels a recording may have: as many speaker places as the decoder knows.
pub const MOST_CHANNELS: usize = 26;

/// The highest magnitude in `samples`, full scale 1; 0 for none.
fn peak(samples: &[f32]) -> f32 {
    samples.iter().fold(0.0, |peak, sample| peak.max(sample.abs()))
}

/// A magnitude in dB below full scale.
fn db(magnitude: f32) -> f32 {
    20.0 * magnitude.log10()
}
