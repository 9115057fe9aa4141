//! Where notes begin, and where to look so that no frame looks across that.

use crate::following::frame::{Frame, Spectrum};
use crate::following::window::Window;

/// Where a hop is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::following) struct Moment {
    /// The middle of its frame, in samples.
    pub(in crate::following) middle: usize,
    /// How many notes began before it.
    pub(in crate::following) segment: usize,
}

/// Where notes begin, in samples, by frames of that length, in samples too: where more of the spectrum rises than elsewhere near.
/// Right to a quarter of a frame.
pub fn beginnings(samples: &[f32], length: usize) -> Vec<usize> {
    let mut beginnings = Beginnings::new(4 * length, Beginnings::NEAR);
    let hop = beginnings.hop();
    let around = |place: usize| Frame::around(samples, place * hop, length);
    let places = 0..samples.len() / hop + 1;
    places.clone().for_each(|place| beginnings.expect(around(place)));
    let found = places.clone().filter_map(|place| beginnings.hear(around(place))).collect::<Vec<_>>();
    let last = (0..Beginnings::NEAR).filter_map(|_| beginnings.hear(Frame::SILENCE));
    found.into_iter().chain(last).map(|place| place * hop).collect()
}

impl Moment {
    /// A frame reaches so far to either side of its middle, as a share of its length: there a Hann window is down to a sixth.
    const REACH: f64 = 0.36;

    /// The moment that tells most about a place: its own, or one so far from it that the frame does not reach across the
    /// beginning of a note. `beginnings` are known around the place, ascending, in samples; `passed` more came before them.
    pub(in crate::following) fn of(place: usize, beginnings: &[usize], passed: usize, frame: usize) -> Self {
        let reach = (Self::REACH * frame as f64) as usize;
        let before = beginnings.partition_point(|&beginning| beginning <= place);
        let from = before.checked_sub(1).map(|last| beginnings[last]);
        let to = beginnings.get(before);
        let least = from.map_or(0, |from| from + reach);
        let most = to.map_or(usize::MAX, |to| to.saturating_sub(reach));
        let middle = match to {
            Some(&to) if least > most => usize::midpoint(from.unwrap_or(0), to),
            _ => place.clamp(least, most),
        };
        Self { middle, segment: passed + before }
    }
}

/// Finds where notes begin: where more of the spectrum rises than elsewhere near. Allocates nothing after [`Beginnings::new`].
///
/// Spectral flux of logarithmic magnitudes against the largest neighbour before, so that a pitch that moves is no beginning
/// (Boeck and Widmer 2013, Maximum filter vibrato suppression for onset detection).
#[derive(Debug, Clone)]
pub(in crate::following) struct Beginnings {
    window: Window,
    spectrum: Spectrum,
    /// Levels of the newest frames, in dB, and rises of the last hops, newest first.
    levels: [Vec<f32>; 3],
    rises: [f32; Self::LONG + Self::NEAR + 1],
    /// Frames that were heard.
    heard: usize,
    loudest_db: f32,
    /// Hops that are waited for after a rise.
    patience: usize,
    last: Option<usize>,
}

impl Beginnings {
    /// Hops within which one beginning is looked for, and before it what is usual.
    pub(in crate::following) const NEAR: usize = 6;
    const LONG: usize = 20;
    /// How much a bin rises on average at a beginning above what is usual, in dB.
    const LEAST_DB: f32 = 1.0;
    /// What lies further below the loudest is not looked at, in dB.
    const RANGE_DB: f32 = 60.0;

    /// For frames of the analysis of that length; looks so many hops beyond a rise, at most [`Beginnings::NEAR`].
    pub(in crate::following) fn new(frame: usize, patience: usize) -> Self {
        let length = frame / 4;
        Self {
            window: Window::symmetric(length),
            spectrum: Spectrum::new(length),
            levels: std::array::from_fn(|_| vec![0.0; length / 6]),
            rises: [0.0; Self::LONG + Self::NEAR + 1],
            heard: 0,
            loudest_db: f32::MIN,
            patience: patience.min(Self::NEAR),
            last: None,
        }
    }

    /// How many samples its frames have.
    pub(in crate::following) fn length(&self) -> usize {
        self.window.samples.len()
    }

    /// From one of its frames to the next.
    pub(in crate::following) fn hop(&self) -> usize {
        self.length() / 4
    }

    /// Back to the beginning.
    pub(in crate::following) fn forget(&mut self) {
        (self.heard, self.loudest_db, self.last) = (0, f32::MIN, None);
        self.rises.fill(0.0);
    }

    /// Expects what is as loud as a frame.
    pub(in crate::following) fn expect(&mut self, frame: Frame<'_>) {
        self.measure(frame);
    }

    /// Takes the next frame; the hop at whose middle a note began, once it is sure.
    pub(in crate::following) fn hear(&mut self, frame: Frame<'_>) -> Option<usize> {
        self.levels.rotate_right(1);
        self.measure(frame);
        self.rises.rotate_right(1);
        self.rises[0] = if self.heard < 2 { 0.0 } else { self.rise() };
        self.heard += 1;
        let place = (self.heard - 1).checked_sub(self.patience)?;
        let rise = self.rises[self.patience];
        let (near, long) = (place.min(Self::NEAR), place.min(Self::LONG));
        let highest = self.rises[..=self.patience + near].iter().all(|&other| other <= rise);
        let before = &self.rises[..=self.patience + long];
        let usual = before.iter().sum::<f32>() / before.len() as f32;
        let apart = self.last.is_none_or(|last| place > last + Self::NEAR);
        if !(highest && apart && rise > usual + Self::LEAST_DB) {
            return None;
        }
        // The frame that rises first has its middle where the note begins, near enough.
        self.last = Some(place);
        self.last
    }

    fn measure(&mut self, frame: Frame<'_>) {
        let levels = &mut self.levels[0];
        self.spectrum.magnitudes(frame, &self.window, levels);
        levels.iter_mut().for_each(|value| *value = 20.0 * value.max(f32::MIN_POSITIVE).log10());
        self.loudest_db = levels.iter().fold(self.loudest_db, |max, &value| max.max(value));
    }

    /// Mean rise of a bin over two hops, in dB.
    fn rise(&self) -> f32 {
        let [now, _, before] = &self.levels;
        let least = self.loudest_db - Self::RANGE_DB;
        let largest = |bin: usize| {
            let beside = &before[bin.saturating_sub(1)..(bin + 2).min(before.len())];
            beside.iter().fold(least, |max, &value| max.max(value))
        };
        let rise = |(bin, &level): (usize, &f32)| (level - largest(bin)).max(0.0);
        now.iter().enumerate().map(rise).sum::<f32>() / now.len() as f32
    }
}
