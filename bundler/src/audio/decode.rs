//! The whole of a file through the decoder, and how far it came.

use std::fs::File;
use std::io::{self, Seek};

use symphonia::core::codecs::audio::well_known::{
    CODEC_ID_PCM_F32BE, CODEC_ID_PCM_F32LE, CODEC_ID_PCM_F64BE, CODEC_ID_PCM_F64LE,
};
use symphonia::core::codecs::audio::{AudioCodecParameters, AudioDecoder, AudioDecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::probe::Hint;
use symphonia::core::formats::{FormatReader, TrackType};
use symphonia::core::io::{MediaSource, MediaSourceStream, ReadOnlySource};

/// What came out of the decoder.
#[derive(Debug)]
pub(super) struct Decoded {
    /// In hertz.
    pub(super) sample_rate: u32,
    /// One list of samples per channel, all of one length; full scale 1.
    pub(super) channels: Vec<Vec<f32>>,
    /// How the samples were stored, as `24 bit` or `32 bit float`.
    pub(super) encoding: String,
    /// Samples per channel that the file promises, if it does.
    pub(super) promised_frames: Option<u64>,
    /// How it ended.
    pub(super) end: End,
}

/// How decoding ended.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum End {
    /// Where the format says.
    Clean,
    /// Where the file ends.
    FileEnded,
    /// At something that the decoder refused, in its words.
    Refused(String),
}

/// Decodes all channels of `file` to the end, or to where it breaks off.
///
/// # Errors
///
/// The decoder's words when not even the header makes sense to it.
pub(super) fn decode(file: &File) -> Result<Decoded, String> {
    let mut format = open(file).map_err(|error| words(&error))?;
    let track = format.default_track(TrackType::Audio).ok_or("it has no sound track")?;
    let (track_id, promised_frames) = (track.id, track.num_frames);
    let parameters = track.codec_params.as_ref().and_then(|all| all.audio()).ok_or("its track is no sound")?.clone();
    let mut decoder = symphonia::default::get_codecs()
        .make_audio_decoder(&parameters, &AudioDecoderOptions::default().verify(true))
        .map_err(|error| words(&error))?;
    let mut channels = Vec::new();
    let end = read_packets(format.as_mut(), decoder.as_mut(), track_id, &mut channels);
    Ok(Decoded {
        sample_rate: parameters.sample_rate.ok_or("it states no sample rate")?,
        channels,
        encoding: encoding(&parameters),
        promised_frames,
        end,
    })
}

/// The reader of the file's format. An AIFF file that breaks off within its sound is opened again as a stream, because only then does
/// the decoder give what is there; a seekable source lets it look for chunks behind the sound first.
fn open(file: &File) -> Result<Box<dyn FormatReader + 'static>, Error> {
    match probe(Box::new(rewound(file)?)) {
        Err(Error::IoError(error)) if error.kind() == io::ErrorKind::UnexpectedEof => {
            probe(Box::new(ReadOnlySource::new(rewound(file)?)))
        }
        other => other,
    }
}

fn probe(source: Box<dyn MediaSource>) -> Result<Box<dyn FormatReader + 'static>, Error> {
    let stream = MediaSourceStream::new(source, Default::default());
    symphonia::default::get_probe().probe(&Hint::new(), stream, Default::default(), Default::default())
}

/// A second handle on the same file, at its beginning.
fn rewound(file: &File) -> io::Result<File> {
    let mut again = file.try_clone()?;
    again.rewind()?;
    Ok(again)
}

/// Appends every packet of the track to `channels`, and checks the sum over all samples where the format carries one (FLAC).
fn read_packets(
    format: &mut dyn FormatReader,
    decoder: &mut dyn AudioDecoder,
    track_id: u32,
    channels: &mut Vec<Vec<f32>>,
) -> End {
    let mut planes: Vec<Vec<f32>> = Vec::new();
    loop {
        let packet = match format.next_packet() {
            Ok(Some(packet)) if packet.track_id == track_id => packet,
            Ok(Some(_)) => continue,
            Ok(None) => break,
            Err(error) => return ended_by(&error),
        };
        match decoder.decode(&packet) {
            Ok(decoded) => decoded.copy_to_vecs_planar(&mut planes),
            Err(error) => return ended_by(&error),
        }
        channels.resize(planes.len(), Vec::new());
        for (channel, plane) in channels.iter_mut().zip(&planes) {
            channel.extend_from_slice(plane);
        }
    }
    match decoder.finalize().verify_ok {
        Some(false) => End::Refused("the samples do not match the file's own checksum".to_owned()),
        _ => End::Clean,
    }
}

fn ended_by(error: &Error) -> End {
    match error {
        Error::IoError(io) if io.kind() == io::ErrorKind::UnexpectedEof => End::FileEnded,
        other => End::Refused(words(other)),
    }
}

/// The decoder's own words, without the name of its module in front.
fn words(error: &Error) -> String {
    match error {
        Error::IoError(io) if io.kind() == io::ErrorKind::UnexpectedEof => "it ends within its header".to_owned(),
        Error::DecodeError(detail) | Error::Unsupported(detail) | Error::LimitError(detail) => {
            detail.split_once(": ").map_or(*detail, |(_, rest)| rest).to_owned()
        }
        other => other.to_string(),
    }
}

fn encoding(parameters: &AudioCodecParameters) -> String {
    match parameters.codec {
        CODEC_ID_PCM_F32LE | CODEC_ID_PCM_F32BE => "32 bit float".to_owned(),
        CODEC_ID_PCM_F64LE | CODEC_ID_PCM_F64BE => "64 bit float".to_owned(),
        _ => parameters.bits_per_sample.map_or_else(|| "companded".to_owned(), |bits| format!("{bits} bit")),
    }
}
