//! One recording per position of the selector, made from what comes in or opened from a file.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::recorder::{Recorder, Tape};

/// What was recorded, by position of the selector from 1, and what is being recorded.
#[derive(Debug, Default)]
pub(in crate::app) struct Recordings {
    made: BTreeMap<u8, Arc<Recording>>,
    under_way: Option<u8>,
}

/// A pass that was recorded.
#[derive(Debug)]
pub(in crate::app) struct Recording {
    /// The file it was opened from.
    pub from: Option<String>,
    /// In full scale 1.
    pub samples: Vec<f32>,
    /// In hertz.
    pub sample_rate: f64,
    /// Largest magnitude, full scale 1.
    pub peak: f32,
}

impl Recordings {
    /// Begins to record a position, unless another one is under way.
    pub(super) fn start(&mut self, position: u8, recorder: &Recorder, sample_rate: f64) {
        if self.under_way.is_none() {
            self.under_way = Some(position);
            recorder.start(sample_rate);
        }
    }

    /// Takes a recording of a position, whatever was recorded in it before.
    pub(super) fn put(&mut self, position: u8, recording: Recording) {
        self.made.insert(position, Arc::new(recording));
    }

    /// Takes a recording that has ended; whether one had.
    pub(super) fn step(&mut self, recorder: &Recorder) -> bool {
        let Some(position) = self.under_way else { return false };
        let Some(tape) = recorder.take() else { return false };
        self.under_way = None;
        let recording = Recording::of(tape);
        if recording.peak > 0.0 {
            self.put(position, recording);
        }
        true
    }

    /// The position that is being recorded.
    pub(in crate::app) fn under_way(&self) -> Option<u8> {
        self.under_way
    }

    /// What was recorded in a position.
    pub(in crate::app) fn made(&self, position: u8) -> Option<&Recording> {
        self.made.get(&position).map(Arc::as_ref)
    }

    /// Everything that was recorded, by position.
    pub(super) fn all(&self) -> BTreeMap<u8, Arc<Recording>> {
        self.made.clone()
    }
}

impl Recording {
    /// Of samples in full scale 1, at a rate in hertz, and the file they were in.
    pub(super) fn new(samples: Vec<f32>, sample_rate: f64, from: Option<String>) -> Self {
        let peak = samples.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
        Self { from, samples, sample_rate, peak }
    }

    fn of(tape: Tape) -> Self {
        let sample_rate = tape.sample_rate();
        Self::new(tape.into_samples(), sample_rate, None)
    }

    /// Its length, in seconds.
    pub(in crate::app) fn seconds(&self) -> f64 {
        self.samples.len() as f64 / self.sample_rate
    }
}
