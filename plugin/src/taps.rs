//! What the editor sees of the sound: written by the audio thread, read by the editor, no lock in between.

use std::sync::atomic::{AtomicBool, AtomicU32, AtomicU64, Ordering};

use dryfit_dsp::following::{HeardNote, MOST_STRINGS};

use crate::recorder::Recorder;

/// Levels, loudness, the notes that are heard and the last samples of the take.
#[derive(Debug)]
pub struct Taps {
    ring: Box<[AtomicU32]>,
    written: AtomicU64,
    /// How many samples there were when the last one came that was not silence.
    sounded: AtomicU64,
    sample_rate: AtomicU64,
    latency: AtomicU32,
    input_peak: AtomicU32,
    output_peak: AtomicU32,
    clipped: AtomicBool,
    loudness: [AtomicU64; 3],
    /// A string's note, packed.
    notes: [AtomicU64; MOST_STRINGS],
    recorder: Recorder,
}

/// What is heard of a string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeardFret {
    /// The fret, 0 for the open string.
    pub fret: u16,
    /// How sure it is that it is this string, 0 to 1.
    pub certainty: f32,
}

impl Taps {
    /// Samples of the take that are kept: 0.68 s at 48 kHz.
    pub const SAMPLES: usize = 1 << 15;

    /// Empty.
    pub fn new() -> Self {
        Self {
            ring: (0..Self::SAMPLES).map(|_| AtomicU32::new(0)).collect(),
            written: AtomicU64::new(0),
            sounded: AtomicU64::new(0),
            sample_rate: AtomicU64::new(0),
            latency: AtomicU32::new(0),
            input_peak: AtomicU32::new(0),
            output_peak: AtomicU32::new(0),
            clipped: AtomicBool::new(false),
            loudness: [const { AtomicU64::new(f64::NAN.to_bits()) }; 3],
            notes: [const { AtomicU64::new(0) }; MOST_STRINGS],
            recorder: Recorder::default(),
        }
    }

    /// The way of recordings from the audio thread to the editor.
    pub fn recorder(&self) -> &Recorder {
        &self.recorder
    }

    /// The host's sample rate, in hertz.
    pub fn set_sample_rate(&self, hertz: f64) {
        self.sample_rate.store(hertz.to_bits(), Ordering::Relaxed);
    }

    /// The host's sample rate, in hertz; 0 before the host said it.
    pub fn sample_rate(&self) -> f64 {
        f64::from_bits(self.sample_rate.load(Ordering::Relaxed))
    }

    /// What the host is told of latency, in samples.
    pub fn set_latency(&self, samples: u32) {
        self.latency.store(samples, Ordering::Relaxed);
    }

    /// Samples from what comes to what is heard.
    pub fn latency(&self) -> u32 {
        self.latency.load(Ordering::Relaxed)
    }

    /// The take, as it comes in. For the audio thread.
    pub fn hear_input(&self, channels: &[&mut [f32]]) {
        let peak = peak(channels);
        Self::raise(&self.input_peak, peak);
        if peak >= 1.0 {
            self.clipped.store(true, Ordering::Relaxed);
        }
        let Some(first) = channels.first() else { return };
        let start = self.written.load(Ordering::Relaxed);
        for (place, sample) in (start..).zip(first.iter()) {
            // The length is a power of two, so the cast keeps every bit that counts.
            self.ring[place as usize % Self::SAMPLES].store(sample.to_bits(), Ordering::Relaxed);
        }
        let written = start + first.len() as u64;
        if peak > 0.0 {
            self.sounded.store(written, Ordering::Relaxed);
        }
        self.written.store(written, Ordering::Release);
    }

    /// What goes out, and loudness of dry, A and B in LKFS. For the audio thread.
    pub fn hear_output(&self, channels: &[&mut [f32]], loudness: [Option<f64>; 3]) {
        Self::raise(&self.output_peak, peak(channels));
        for (tap, loudness) in self.loudness.iter().zip(loudness) {
            tap.store(loudness.unwrap_or(f64::NAN).to_bits(), Ordering::Relaxed);
        }
    }

    /// The notes that are heard now, strongest first; a string tells its strongest. For the audio thread.
    pub fn hear_notes(&self, notes: impl Iterator<Item = HeardNote>) {
        let mut strings = [None; MOST_STRINGS];
        for note in notes {
            if let Some(string) = strings.get_mut(note.string) {
                let heard = HeardFret { fret: u16::try_from(note.fret).unwrap_or(u16::MAX), certainty: note.certainty };
                *string = string.or(Some(heard));
            }
        }
        for (tap, string) in self.notes.iter().zip(strings) {
            tap.store(string.map_or(0, HeardFret::packed), Ordering::Relaxed);
        }
    }

    /// What is heard of each string, from the lowest. Each is a whole of its own: while frames change, some may be of the
    /// frame before.
    pub fn notes(&self) -> [Option<HeardFret>; MOST_STRINGS] {
        self.notes.each_ref().map(|tap| HeardFret::unpacked(tap.load(Ordering::Relaxed)))
    }

    /// Largest magnitudes of input and output since they were last asked for, full scale 1.
    pub fn take_peaks(&self) -> [f32; 2] {
        [&self.input_peak, &self.output_peak].map(|peak| f32::from_bits(peak.swap(0, Ordering::Relaxed)))
    }

    /// Whether the take reached full scale since [`Taps::forget_clipping`].
    pub fn clipped(&self) -> bool {
        self.clipped.load(Ordering::Relaxed)
    }

    /// Forgets that the take reached full scale.
    pub fn forget_clipping(&self) {
        self.clipped.store(false, Ordering::Relaxed);
    }

    /// Integrated loudness of dry, A and B since the transport started, in LKFS.
    pub fn loudness(&self) -> [Option<f64>; 3] {
        self.loudness
            .each_ref()
            .map(|tap| Some(f64::from_bits(tap.load(Ordering::Relaxed))).filter(|value| !value.is_nan()))
    }

    /// Samples of the take there were ever.
    pub fn written(&self) -> u64 {
        self.written.load(Ordering::Acquire)
    }

    /// How many samples there were when the last one came that was not silence; 0 when none came.
    pub fn sounded(&self) -> u64 {
        self.sounded.load(Ordering::Relaxed)
    }

    /// Copies the newest samples of the take, oldest first, and returns how many samples there were ever. A block that is
    /// being written meanwhile may be in it half: enough for a picture.
    pub fn newest(&self, samples: &mut [f32]) -> u64 {
        let written = self.written.load(Ordering::Acquire);
        let start = written.wrapping_sub(samples.len() as u64);
        for (offset, sample) in (0u64..).zip(samples.iter_mut()) {
            let place = start.wrapping_add(offset) as usize % Self::SAMPLES;
            *sample = f32::from_bits(self.ring[place].load(Ordering::Relaxed));
        }
        written
    }

    /// Magnitudes that are not negative are ordered as their bits are; a NaN was left out before.
    fn raise(tap: &AtomicU32, peak: f32) {
        tap.fetch_max(peak.to_bits(), Ordering::Relaxed);
    }
}

impl HeardFret {
    /// Set where there is a note.
    const THERE: u64 = 1 << 63;

    fn packed(self) -> u64 {
        Self::THERE | u64::from(self.fret) << 32 | u64::from(self.certainty.to_bits())
    }

    fn unpacked(bits: u64) -> Option<Self> {
        // The casts keep the bits of their part.
        let heard = Self { fret: (bits >> 32) as u16, certainty: f32::from_bits(bits as u32) };
        (bits & Self::THERE != 0).then_some(heard)
    }
}

impl Default for Taps {
    fn default() -> Self {
        Self::new()
    }
}

/// `f32::max` passes NaN over.
fn peak(channels: &[&mut [f32]]) -> f32 {
    channels.iter().flat_map(|channel| channel.iter()).fold(0.0, |peak: f32, sample| peak.max(sample.abs()))
}
