//! One option under test: a target, two filter slots and the fade between them.

use super::convolver::{History, PartitionedFilter, Transform};
use super::ramp::Ramp;
use crate::conversion::{Controls, Grid, Target};
use crate::filter::{Designer, Filter, Size};

/// What all benches use in turn.
pub(super) struct Workshop {
    pub(super) designer: Designer,
    pub(super) transform: Transform,
    log_gain: Vec<f64>,
    filter: Filter,
    faded_out: Vec<f32>,
    fade: Vec<f32>,
}

impl Workshop {
    pub(super) fn new(size: Size, sample_rate: f64) -> Self {
        let designer = Designer::new(&Grid::up_to(sample_rate / 2.0), sample_rate);
        let filter = designer.silent();
        Self {
            designer,
            transform: Transform::new(size.step),
            log_gain: vec![0.0; Grid::POINTS],
            filter,
            faded_out: vec![0.0; size.step],
            fade: vec![0.0; size.step],
        }
    }
}

pub(super) struct Bench<T> {
    target: T,
    slots: [Slot; 2],
    sounding: usize,
    /// The controls of the sounding filter; none before the first.
    controls: Option<Controls>,
    /// Whether the target is another than the one the sounding filter was made from.
    exchanged: bool,
    /// Share of the sounding slot against the other one.
    fade: Ramp,
}

/// A filter and, per channel, its tail for the current step.
struct Slot {
    filter: PartitionedFilter,
    tails: Vec<Vec<f32>>,
}

impl<T: Target> Bench<T> {
    pub(super) fn new(target: T, size: Size, channels: usize, transform: &Transform) -> Self {
        let slot = || Slot {
            filter: PartitionedFilter::new(transform, size.taps),
            tails: vec![vec![0.0; size.step]; channels],
        };
        Self { target, slots: [slot(), slot()], sounding: 0, controls: None, exchanged: false, fade: Ramp::at(1.0) }
    }

    /// Puts another target in place and returns the old one; the change sounds like a jump.
    pub(super) fn exchange(&mut self, target: T) -> T {
        self.exchanged = true;
        std::mem::replace(&mut self.target, target)
    }

    /// Forgets the filter: the next step begins with a new one, unfaded.
    pub(super) fn reset(&mut self) {
        self.controls = None;
        self.fade = Ramp::at(1.0);
    }

    /// At a boundary of the control grid: takes new controls over, unless a fade is still running, and computes the
    /// tails of the step. A knob fades in `step` samples, a jump in `jump`.
    pub(super) fn begin_step(
        &mut self,
        controls: &Controls,
        histories: &[History],
        workshop: &mut Workshop,
        (step, jump): (usize, usize),
    ) {
        match self.controls {
            None => self.design(controls, workshop),
            Some(old) if self.fade.left() == 0 && (self.exchanged || old != *controls) => {
                let jumps = self.exchanged || controls.jumps_from(&old);
                self.design(controls, workshop);
                self.fade = Ramp::at(0.0);
                self.fade.move_to(1.0, if jumps { jump } else { step });
            }
            Some(_) => {}
        }
        let fading = self.fade.left() > 0;
        for (place, slot) in self.slots.iter_mut().enumerate() {
            if place == self.sounding || fading {
                for (history, tail) in histories.iter().zip(&mut slot.tails) {
                    slot.filter.tail(history, &mut workshop.transform, tail);
                }
            }
        }
    }

    /// Writes the samples of the current step from `start` to as far as the histories have come.
    pub(super) fn output(
        &mut self,
        histories: &[History],
        start: usize,
        workshop: &mut Workshop,
        out: &mut [Vec<f32>],
    ) {
        let Some(samples) = histories.first().map(|history| history.position() - start) else {
            return;
        };
        let fading = self.fade.left().min(samples);
        let (fade, faded_out) = (&mut workshop.fade[..fading], &mut workshop.faded_out[..fading]);
        self.fade.write(fade);
        let (new, old) = (&self.slots[self.sounding], &self.slots[1 - self.sounding]);
        for (channel, history) in histories.iter().enumerate() {
            let out = &mut out[channel][..samples];
            new.filter.output(history, &new.tails[channel], start, out);
            if fading > 0 {
                old.filter.output(history, &old.tails[channel], start, faded_out);
                for ((out, &old), &share) in out.iter_mut().zip(&*faded_out).zip(&*fade) {
                    *out = old + share * (*out - old);
                }
            }
        }
    }

    /// Makes the filter for these controls in the idle slot, which becomes the sounding one.
    fn design(&mut self, controls: &Controls, workshop: &mut Workshop) {
        let Workshop { designer, transform, log_gain, filter, .. } = workshop;
        self.target.write(controls, log_gain);
        designer.design(log_gain, filter);
        self.sounding = 1 - self.sounding;
        self.slots[self.sounding].filter.set(filter, transform);
        (self.controls, self.exchanged) = (Some(*controls), false);
    }
}
