//! A take from a real guitar: the single notes of a clean electric guitar in the Debian package `fluid-soundfont-gm` (MIT licence),
//! as they were recorded, put together to a riff.
//!
//! Only recorded sound is used: no loop, no envelope but a short fade, no filter, no reverberation. The notes were recorded at 22050 Hz, so
//! there is nothing above 11 kHz; they are brought to 44100 Hz and to their pitch (the sound font states by how many cents each recording is
//! off) in one step of band-limited interpolation. The package does not say through what the guitar was recorded: it is a real string's spectrum
//! and decay, not a reference for a pickup.

use std::fmt;
use std::fs::File;
use std::io::BufReader;
use std::sync::OnceLock;

use rubato::audioadapter_buffers::owned::InterleavedOwned;
use rubato::{Async, FixedAsync, Resampler, SincInterpolationParameters};
use rustysynth::{InstrumentRegion, SoundFont};

/// Where the package puts its file.
pub(crate) const SOUND_FONT: &str = "/usr/share/sounds/sf2/FluidR3_GM.sf2";

/// General MIDI program 28, the clean electric guitar, counted from 0 (General MIDI System Level 1, 1991, from memory).
const CLEAN_ELECTRIC_GUITAR: i32 = 27;

/// The take's sample rate, in hertz.
const SAMPLE_RATE: u32 = 44_100;

/// The take's peak: 6 dB below full scale, as a careful player records.
const PEAK: f32 = 0.5;

/// The length of the fade that ends a note, in seconds: long enough not to click.
const FADE: f64 = 0.01;

/// Key and time to the next note in seconds: up the neck from the open low E string, longer where the pitch is lower.
const LINE: [(i32, f64); 13] = [
    (40, 0.8),
    (45, 0.7),
    (47, 0.6),
    (50, 0.6),
    (52, 0.5),
    (55, 0.5),
    (59, 0.4),
    (62, 0.4),
    (64, 0.4),
    (67, 0.4),
    (71, 0.4),
    (76, 0.4),
    (79, 0.4),
];

/// The keys of the chord that ends the take, E minor over all six strings, and the time between two of its strings in seconds.
const CHORD: [i32; 6] = [40, 47, 52, 55, 59, 64];
const STRUM: f64 = 0.015;

/// The time that the chord rings, in seconds; the high strings' recordings end before.
const RING: f64 = 1.6;

/// A take of about eight seconds: a line of single notes, then a chord.
#[derive(Debug, Clone, PartialEq)]
pub struct RealTake {
    /// In hertz.
    pub sample_rate: u32,
    /// Finite, full scale 1.
    pub samples: Vec<f32>,
    /// What is played, in the order of time.
    pub notes: Vec<Note>,
}

/// One note of the take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Note {
    /// The key in MIDI's counting: 69 is 440 Hz.
    pub key: i32,
    /// When it is plucked, in seconds.
    pub start: f64,
    /// How long it sounds at most, in seconds.
    pub duration: f64,
}

impl Note {
    /// The pitch in equal temperament, in hertz.
    pub fn pitch(&self) -> f64 {
        440.0 * (f64::from(self.key - 69) / 12.0).exp2()
    }
}

/// Why there is no real take on this machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skip {
    reason: String,
}

impl Skip {
    pub(crate) fn new(reason: impl fmt::Display) -> Self {
        Self { reason: reason.to_string() }
    }
}

impl fmt::Display for Skip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{SOUND_FONT}: {}; apt-get install fluid-soundfont-gm", self.reason)
    }
}

/// The take, built once per process.
///
/// # Errors
///
/// [`Skip`] when the sound font is not installed or not the one that is meant. Hand it to [`skip_or_fail`].
pub fn real_take() -> Result<RealTake, Skip> {
    static TAKE: OnceLock<Result<RealTake, Skip>> = OnceLock::new();
    TAKE.get_or_init(build_real_take).clone()
}

/// Builds the take anew.
///
/// # Errors
///
/// As [`real_take`].
pub fn build_real_take() -> Result<RealTake, Skip> {
    build().map_err(|reason| Skip { reason })
}

/// One recorded note as it was recorded, at the pitch the sound font states for it.
#[derive(Debug, Clone, PartialEq)]
pub struct SingleNote {
    /// Name of the recording in the sound font.
    pub name: String,
    /// The key that it is for.
    pub key: i32,
    /// At the take's sample rate, full scale 1.
    pub samples: Vec<f32>,
}

/// Every recording of the clean electric guitar, each once, at the key nearest to the one that it was recorded for.
///
/// # Errors
///
/// As [`real_take`].
pub fn single_notes() -> Result<Vec<SingleNote>, Skip> {
    let read = || -> Result<Vec<SingleNote>, String> {
        let file = File::open(SOUND_FONT).map_err(|error| error.to_string())?;
        let font = SoundFont::new(&mut BufReader::new(file)).map_err(|error| error.to_string())?;
        // The keys of a guitar with 22 frets in standard tuning.
        let mut notes: Vec<(usize, i32, SingleNote)> = Vec::new();
        for key in 40..=86 {
            let region = region(&font, key)?;
            let (sample, off) = (region.get_sample_id(), (key - region.get_root_key()).abs());
            let nearer = notes.iter().any(|(other, other_off, _)| *other == sample && *other_off <= off);
            if nearer {
                continue;
            }
            notes.retain(|(other, _, _)| *other != sample);
            let samples = plucked(&font, &Note { key, start: 0.0, duration: 3.0 })?;
            let name = font.get_sample_headers()[sample].get_name().to_string();
            notes.push((sample, off, SingleNote { name, key, samples }));
        }
        Ok(notes.into_iter().map(|(_, _, note)| note).collect())
    };
    read().map_err(|reason| Skip { reason })
}

/// Ends a check that cannot run here: prints why. In continuous integration, where everything is installed, that is a failure.
///
/// # Panics
///
/// With `CI=true` in the environment.
pub fn skip_or_fail(reason: impl fmt::Display) {
    assert!(std::env::var("CI").as_deref() != Ok("true"), "skipped, which is a failure in CI: {reason}");
    println!("skipped: {reason}");
}

fn build() -> Result<RealTake, String> {
    let file = File::open(SOUND_FONT).map_err(|error| error.to_string())?;
    let font = SoundFont::new(&mut BufReader::new(file)).map_err(|error| error.to_string())?;
    let notes = riff();
    let length = notes.iter().map(|note| frame(note.start + note.duration)).max().unwrap_or(0);
    let mut samples = vec![0.0; length];
    for note in &notes {
        let sound = plucked(&font, note)?;
        samples[frame(note.start)..].iter_mut().zip(sound).for_each(|(sum, sample)| *sum += sample);
    }
    let peak = samples.iter().fold(0.0_f32, |peak, sample| peak.max(sample.abs()));
    samples.iter_mut().for_each(|sample| *sample *= PEAK / peak);
    Ok(RealTake { sample_rate: SAMPLE_RATE, samples, notes })
}

fn riff() -> Vec<Note> {
    let mut start = 0.0;
    let mut notes = Vec::new();
    for (key, duration) in LINE {
        notes.push(Note { key, start, duration });
        start += duration;
    }
    for (string, key) in CHORD.into_iter().enumerate() {
        let delay = string as f64 * STRUM;
        notes.push(Note { key, start: start + delay, duration: RING - delay });
    }
    notes
}

fn frame(seconds: f64) -> usize {
    (seconds * f64::from(SAMPLE_RATE)).round() as usize
}

/// The recording for the note, at the note's pitch and no longer than the note or the recording, faded at its end.
fn plucked(font: &SoundFont, note: &Note) -> Result<Vec<f32>, String> {
    let region = region(font, note.key)?;
    let header = &font.get_sample_headers()[region.get_sample_id()];
    let wave = font.get_wave_data();
    let recorded = wave
        .get(region.get_sample_start() as usize..region.get_sample_end() as usize)
        .ok_or_else(|| format!("the recording {} lies outside the file", header.get_name()))?;
    let semitones = f64::from(note.key - region.get_root_key())
        + f64::from(region.get_coarse_tune())
        + f64::from(region.get_fine_tune()) / 100.0;
    let ratio = f64::from(SAMPLE_RATE) / f64::from(header.get_sample_rate()) / (semitones / 12.0).exp2();
    let mut sound = resampled(recorded, ratio)?;
    sound.truncate(frame(note.duration));
    let fade = frame(FADE);
    for (n, sample) in sound.iter_mut().rev().take(fade).enumerate() {
        *sample *= n as f32 / fade as f32;
    }
    Ok(sound)
}

/// The region of the guitar that plays `key`. Each recording has two, one of them dulled by a low-pass filter to thicken the sound;
/// the one with the higher corner is the recording as it is.
fn region(font: &SoundFont, key: i32) -> Result<&InstrumentRegion, String> {
    let is_meant = |preset: &&rustysynth::Preset| {
        (preset.get_bank_number(), preset.get_patch_number()) == (0, CLEAN_ELECTRIC_GUITAR)
    };
    let preset = font.get_presets().iter().find(is_meant).ok_or("it has no clean electric guitar")?;
    let instruments = preset.get_regions().iter().map(|region| region.get_instrument_id());
    instruments
        .flat_map(|instrument| font.get_instruments()[instrument].get_regions())
        .filter(|region| region.contains(key, 100))
        .max_by(|a, b| a.get_initial_filter_cutoff_frequency().total_cmp(&b.get_initial_filter_cutoff_frequency()))
        .ok_or_else(|| format!("its clean electric guitar does not play key {key}"))
}

/// Band-limited interpolation to `ratio` times as many samples.
fn resampled(recorded: &[i16], ratio: f64) -> Result<Vec<f32>, String> {
    let parameters = SincInterpolationParameters::default();
    let mut resampler = Async::<f64>::new_sinc(ratio, 1.0, &parameters, 1024, 1, FixedAsync::Input)
        .map_err(|error| error.to_string())?;
    let input: Vec<f64> = recorded.iter().map(|&code| f64::from(code) / 32_768.0).collect();
    let frames = input.len();
    let input = InterleavedOwned::new_from(input, 1, frames).map_err(|error| error.to_string())?;
    let output = resampler.process_all(&input, frames, None).map_err(|error| error.to_string())?;
    Ok(output.take_data().into_iter().map(|sample| sample as f32).collect())
}
