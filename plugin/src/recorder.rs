//! Recording what comes in: the audio thread writes into memory that was made ready for it, no lock in between.
//!
//! ```text
//! editor ─ fresh tape ─> audio thread ─ full or stopped ─> editor
//! ```

use std::sync::atomic::{AtomicBool, AtomicU32, AtomicUsize, Ordering};

use crossbeam_utils::atomic::AtomicCell;

/// A recording, being made or made.
#[derive(Debug, Clone, PartialEq)]
pub struct Tape {
    /// Mean of all channels; beyond `written` there is nothing yet.
    samples: Vec<f32>,
    written: usize,
    sample_rate: f64,
}

/// The way of one tape to the audio thread and back.
#[derive(Default)]
pub struct Recorder {
    fresh: AtomicCell<Option<Box<Tape>>>,
    done: AtomicCell<Option<Box<Tape>>>,
    stop: AtomicBool,
    written: AtomicUsize,
    peak: AtomicU32,
}

/// The audio thread's half: the tape that is being written.
#[derive(Debug, Default)]
pub struct Head(Option<Box<Tape>>);

impl Tape {
    /// Longest recording, in seconds: twice what a pass of 24 notes takes.
    pub const SECONDS: f64 = 150.0;

    /// An empty one for a sample rate, in hertz. Its memory is touched, so that the audio thread does not wait for it.
    fn empty(sample_rate: f64) -> Self {
        let mut samples = Vec::new();
        samples.resize((Self::SECONDS * sample_rate) as usize, f32::MIN_POSITIVE);
        Self { samples, written: 0, sample_rate }
    }

    /// What was recorded.
    pub fn into_samples(mut self) -> Vec<f32> {
        self.samples.truncate(self.written);
        self.samples.shrink_to_fit();
        self.samples
    }

    /// In hertz.
    pub fn sample_rate(&self) -> f64 {
        self.sample_rate
    }
}

impl Recorder {
    /// Begins a recording at a sample rate, in hertz: it starts when the host next processes. Not for the audio thread, and not
    /// while another one is under way.
    pub fn start(&self, sample_rate: f64) {
        self.stop.store(false, Ordering::Relaxed);
        self.written.store(0, Ordering::Relaxed);
        self.peak.store(0, Ordering::Relaxed);
        drop(self.done.take());
        self.fresh.store(Some(Box::new(Tape::empty(sample_rate))));
    }

    /// Ends it: [`Recorder::take`] gives what there is when the host next processes; at once where nothing was recorded.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Release);
        if let Some(tape) = self.fresh.take() {
            self.done.store(Some(tape));
        }
    }

    /// The tape, once it is full or was stopped. Not for the audio thread.
    pub fn take(&self) -> Option<Tape> {
        self.done.take().map(|tape| *tape)
    }

    /// Samples recorded so far, and their largest magnitude, full scale 1.
    pub fn progress(&self) -> (usize, f32) {
        (self.written.load(Ordering::Relaxed), f32::from_bits(self.peak.load(Ordering::Relaxed)))
    }
}

impl Head {
    /// Records a block, if a recording is under way. For the audio thread: allocates, drops and waits for nothing.
    pub fn hear(&mut self, recorder: &Recorder, channels: &[&mut [f32]]) {
        if self.0.is_none() {
            self.0 = recorder.fresh.take();
        }
        let Some(tape) = &mut self.0 else { return };
        let length = channels.iter().map(|channel| channel.len()).min().unwrap_or(0);
        let room = (tape.samples.len() - tape.written).min(length);
        let mut peak = f32::from_bits(recorder.peak.load(Ordering::Relaxed));
        for place in 0..room {
            let mean = channels.iter().map(|channel| channel[place]).sum::<f32>() / channels.len() as f32;
            tape.samples[tape.written + place] = if mean.is_finite() { mean } else { 0.0 };
            peak = channels.iter().fold(peak, |peak, channel| peak.max(channel[place].abs()));
        }
        tape.written += room;
        recorder.peak.store(peak.to_bits(), Ordering::Relaxed);
        recorder.written.store(tape.written, Ordering::Relaxed);
        if room < length || recorder.stop.load(Ordering::Acquire) {
            self.end(recorder);
        }
    }

    /// Gives the tape back as it is. The slot is empty: there is one tape at a time, and [`Recorder::start`] empties it.
    pub fn end(&mut self, recorder: &Recorder) {
        if let Some(tape) = self.0.take() {
            recorder.done.store(Some(tape));
        }
    }
}

impl std::fmt::Debug for Recorder {
    /// The slots cannot be looked into without emptying them.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Recorder").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Else a spin lock would stand in, and the audio thread could wait.
    #[test]
    fn the_slots_are_free_of_locks() {
        assert!(AtomicCell::<Option<Box<Tape>>>::is_lock_free());
    }
}
