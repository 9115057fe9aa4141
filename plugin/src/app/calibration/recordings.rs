//! One recording per position of the selector, made from what comes in.

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

    /// Takes a recording that has ended; whether one had.
    pub(super) fn step(&mut self, recorder: &Recorder) -> bool {
        let Some(position) = self.under_way else { return false };
        let Some(tape) = recorder.take() else { return false };
        self.under_way = None;
        if let Some(recording) = Recording::of(tape) {
            self.made.insert(position, Arc::new(recording));
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
    /// None of a tape on which there is nothing.
    fn of(tape: Tape) -> Option<Self> {
        let sample_rate = tape.sample_rate();
        let samples = tape.into_samples();
        let peak = samples.iter().fold(0.0f32, |peak, sample| peak.max(sample.abs()));
        (peak > 0.0).then_some(Self { samples, sample_rate, peak })
    }

    /// Its length, in seconds.
    pub(in crate::app) fn seconds(&self) -> f64 {
        self.samples.len() as f64 / self.sample_rate
    }
}
