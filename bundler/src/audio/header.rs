//! What a file says about itself in its first bytes, before the decoder is trusted with the rest.
//!
//! Only what the decoder does not tell is read here: the channel count as written (it mistakes a WAV file of more than 26 channels
//! for one of fewer) and the length in an AIFF file's common chunk (it reads no further than the sound chunk's own length).
//! Layout: RIFF/WAVE as in the module's head; AIFF-C, *Audio Interchange File Format*, version 1.3, 1989.

use std::io::{self, Read, Seek, SeekFrom};

/// Chunks looked at before the search is given up, so that a file of zeros does not keep it busy.
const MOST_CHUNKS: usize = 1000;

/// The file formats that make takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Container {
    Wave,
    Aiff,
    Flac,
    /// A tag of the MP3 world, which stands in front of some FLAC files too; only the decoder finds out which it is.
    Tagged,
}

impl Container {
    /// The format's name in messages.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Wave => "WAV",
            Self::Aiff => "AIFF",
            Self::Flac | Self::Tagged => "FLAC",
        }
    }
}

/// What the first chunks declare.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Header {
    pub(super) container: Container,
    /// Channels, where the file says so in a chunk.
    pub(super) channels: Option<u16>,
    /// Samples per channel, where the file says so in a chunk.
    pub(super) frames: Option<u32>,
}

impl Header {
    /// Reads the header of one of the formats; `None` when it is none of them. Leaves the position anywhere.
    pub(super) fn read(file: &mut (impl Read + Seek)) -> io::Result<Option<Self>> {
        let mut head = [0; 12];
        if !fills(file, &mut head)? && &head[..4] != b"fLaC" {
            return Ok(None);
        }
        let declared = |container, channels, frames| Ok(Some(Self { container, channels, frames }));
        match (&head[..4], &head[8..]) {
            (b"RIFF", b"WAVE") => {
                let format: Option<[u8; 4]> = chunk(file, b"fmt ", u32::from_le_bytes)?;
                declared(Container::Wave, format.map(|[_, _, low, high]| u16::from_le_bytes([low, high])), None)
            }
            (b"FORM", b"AIFF" | b"AIFC") => {
                let common: Option<[u8; 6]> = chunk(file, b"COMM", u32::from_be_bytes)?;
                let channels = common.map(|[high, low, ..]| u16::from_be_bytes([high, low]));
                let frames = common.map(|[_, _, frames @ ..]| u32::from_be_bytes(frames));
                declared(Container::Aiff, channels, frames)
            }
            (b"fLaC", _) => declared(Container::Flac, None, None),
            (b"ID3\x02" | b"ID3\x03" | b"ID3\x04", _) => declared(Container::Tagged, None, None),
            _ => Ok(None),
        }
    }
}

/// The first `N` bytes of the chunk `id`, from the file's twelfth byte on; `None` when there is no such chunk.
fn chunk<const N: usize>(
    file: &mut (impl Read + Seek),
    id: &[u8; 4],
    length: fn([u8; 4]) -> u32,
) -> io::Result<Option<[u8; N]>> {
    let mut head = [0; 8];
    for _ in 0..MOST_CHUNKS {
        if !fills(file, &mut head)? {
            return Ok(None);
        }
        let [a, b, c, d, size @ ..] = head;
        if [a, b, c, d] == *id {
            let mut body = [0; N];
            return Ok(fills(file, &mut body)?.then_some(body));
        }
        // Chunks start at even places.
        let size = i64::from(length(size));
        file.seek(SeekFrom::Current(size + (size & 1)))?;
    }
    Ok(None)
}

/// Reads into the whole of `buffer`; false when the file ends first.
fn fills(file: &mut impl Read, buffer: &mut [u8]) -> io::Result<bool> {
    match file.read_exact(buffer) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
        Err(error) => Err(error),
    }
}
