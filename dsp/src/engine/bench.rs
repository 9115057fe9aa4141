//! One option under test: a target, two filter slots and the fade between them.

use super::convolver::{History, PartitionedFilter, Transform};
use super::ramp::Ramp;
use crate::conversion::{Controls, Grid, Target};
use crate::filter::{Designer, Filter, Size};
use crate::following::Follower;

/// What all benches use in turn.
pub(super) struct Workshop {
    pub(super) designer: Designer,
    pub(super) transform: Transform,
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
            filter,
            faded_out: vec![0.0; size.step],
            fade: vec![0.0; size.step],
        }
    }

    /// Prepares for a follower. Allocates.
    pub(super) fn expect(&mut self, follower: &Follower, sample_rate: f64) {
        let lattice = follower.size().lattice();
        self.designer.expect_detail(lattice.spacing(), lattice.points(), sample_rate);
    }
}

/// What a bench has to know at a boundary of the control grid.
pub(super) struct Boundary<'a> {
    pub(super) controls: &'a Controls,
    pub(super) histories: &'a [History],
    /// What the strings do; none where nobody follows.
    pub(super) follower: Option<&'a Follower>,
    /// Samples of a knob's fade, and of a jump's.
    pub(super) lengths: (usize, usize),
    /// The bench that is heard, if it is one.
    pub(super) heard: Option<usize>,
}

/// A bench that nobody hears takes over what the follower found so seldom: its loudness is all that matters of it.
const UNHEARD: u64 = 2;
/// Steps from one bench's turn to make a filter of what the follower found to the next one's: two filters in one step would be the
/// worst block of all. All are heard from the last turn on, be there one bench or two: what is heard of one never depends on the other.
const TURN: usize = 2;

pub(super) struct Bench<T> {
    target: T,
    /// Its place among the benches.
    place: usize,
    /// Steps since the follower found something that is not heard yet.
    found: Option<usize>,
    /// Whether the idle slot has the filter for it.
    made: bool,
    slots: [Slot; 2],
    sounding: usize,
    /// What the target wants under the controls of the sounding filter, as long as nothing is followed.
    log_gain: Vec<f64>,
    /// The controls of the sounding filter; none before the first.
    controls: Option<Controls>,
    /// Whether the target is another than the one the sounding filter was made from.
    exchanged: bool,
    /// Share of the sounding slot against the other one.
    fade: Ramp,
    /// Whether that fade follows the notes: then a control need not wait for its end.
    gentle: bool,
    /// Which version of the follower's findings the sounding filter was made from, or serves as well; 0 for none.
    heard: u64,
    /// What following added to the sounding filter, and what it would add now.
    detail: Vec<f32>,
    newest: Vec<f32>,
}

/// A filter and, per channel, its tail for the current step.
struct Slot {
    filter: PartitionedFilter,
    tails: Vec<Vec<f32>>,
}

impl<T: Target> Bench<T> {
    /// The one in that place among the benches.
    pub(super) fn new(target: T, place: usize, size: Size, channels: usize, transform: &Transform) -> Self {
        let slot = || Slot {
            filter: PartitionedFilter::new(transform, size.taps),
            tails: vec![vec![0.0; size.step]; channels],
        };
        Self {
            target,
            place,
            found: None,
            made: false,
            slots: [slot(), slot()],
            sounding: 0,
            log_gain: vec![0.0; Grid::POINTS],
            controls: None,
            exchanged: false,
            fade: Ramp::at(1.0),
            gentle: false,
            heard: 0,
            detail: Vec::new(),
            newest: Vec::new(),
        }
    }

    /// Prepares for a follower. Allocates.
    pub(super) fn expect(&mut self, follower: &Follower) {
        let points = follower.size().lattice().points();
        (self.detail, self.newest) = (vec![0.0; points], vec![0.0; points]);
    }

    /// Puts another target in place and returns the old one; the change sounds like a jump.
    pub(super) fn exchange(&mut self, target: T) -> T {
        self.exchanged = true;
        std::mem::replace(&mut self.target, target)
    }

    /// Forgets the filter: the next step begins with a new one, unfaded.
    pub(super) fn reset(&mut self) {
        self.controls = None;
        (self.found, self.made) = (None, false);
        self.fade_in(0, false);
    }

    /// Whether what the strings do matters under these controls.
    pub(super) fn follows(&mut self, controls: &Controls) -> bool {
        self.target.follows(controls)
    }

    /// At a boundary of the control grid: takes new controls over, unless a fade of such is still running, or what the
    /// follower found, and computes the tails of the step.
    pub(super) fn begin_step(&mut self, boundary: &Boundary<'_>, workshop: &mut Workshop) {
        let (controls, (step, jump)) = (boundary.controls, boundary.lengths);
        let follower = boundary.follower.filter(|_| self.target.follows(controls));
        let version = follower.map_or(0, Follower::version);
        match self.controls {
            None => self.design_anew(controls, follower, workshop),
            Some(old) if self.exchanged || old != *controls || (version == 0) != (self.heard == 0) => {
                if self.fade.left() == 0 || self.gentle {
                    let jumps = self.exchanged || old == *controls || controls.jumps_from(&old);
                    self.settle();
                    self.design_anew(controls, follower, workshop);
                    self.fade_in(if jumps { jump } else { step }, false);
                }
            }
            Some(_) => {
                let now = boundary.heard == Some(self.place) || version.is_multiple_of(UNHEARD);
                if now && self.fade.left() == 0 && version != self.heard {
                    (self.heard, self.found) = (version, Some(0));
                }
                if let (Some(since), Some(follower)) = (self.found, follower) {
                    self.follow(since, follower, boundary, workshop);
                }
            }
        }
        let fading = self.fade.left() > 0;
        for (place, slot) in self.slots.iter_mut().enumerate() {
            if place == self.sounding || fading {
                for (history, tail) in boundary.histories.iter().zip(&mut slot.tails) {
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

    fn fade_in(&mut self, samples: usize, gentle: bool) {
        self.fade = Ramp::at(0.0);
        self.fade.move_to(1.0, samples);
        self.gentle = gentle;
    }

    /// Stops a fade where it is: the sounding slot becomes the mixture that is heard.
    fn settle(&mut self) {
        if self.fade.left() > 0 {
            let share = 1.0 - self.fade.now();
            let [first, second] = &mut self.slots;
            let (sounding, other) = if self.sounding == 0 { (first, second) } else { (second, first) };
            sounding.filter.mix(&other.filter, share);
        }
    }

    /// Takes over what the follower found so many steps ago, unless it cannot be told from what sounds: a filter that follows every
    /// whim of an analysis wavers under a steady string.
    fn follow(&mut self, since: usize, follower: &Follower, boundary: &Boundary<'_>, workshop: &mut Workshop) {
        let last = TURN * (super::Engine::<T>::BENCHES - 1);
        self.found = Some(since + 1);
        if since == TURN * self.place {
            self.target.write_detail(boundary.controls, follower.playing(), &mut self.newest);
            self.made = self.target.tells_apart(boundary.controls, &self.detail, &self.newest);
            if self.made {
                std::mem::swap(&mut self.detail, &mut self.newest);
                self.design(true, workshop);
            }
        }
        if since == last {
            if self.made {
                self.sounding = 1 - self.sounding;
                let step = boundary.lengths.0;
                self.fade_in(follower.size().host_hop() - (1 + last) * step, true);
            }
            (self.found, self.made) = (None, false);
        }
    }

    /// Makes the filter for these controls, and for what the follower found.
    fn design_anew(&mut self, controls: &Controls, follower: Option<&Follower>, workshop: &mut Workshop) {
        if self.exchanged || self.controls != Some(*controls) {
            self.target.write(controls, &mut self.log_gain);
        }
        if let Some(follower) = follower {
            self.target.write_detail(controls, follower.playing(), &mut self.detail);
        }
        self.heard = follower.map_or(0, Follower::version);
        self.design(follower.is_some(), workshop);
        self.sounding = 1 - self.sounding;
        (self.found, self.made) = (None, false);
        (self.controls, self.exchanged) = (Some(*controls), false);
    }

    /// Makes the filter in the idle slot.
    fn design(&mut self, follows: bool, workshop: &mut Workshop) {
        let Workshop { designer, transform, filter, .. } = workshop;
        designer.design_with_detail(&self.log_gain, if follows { &self.detail } else { &[] }, filter);
        self.slots[1 - self.sounding].filter.set(filter, transform);
    }
}
