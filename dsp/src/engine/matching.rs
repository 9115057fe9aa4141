//! Loudness match: A and B as loud as dry.

use std::ops::Range;

use super::loudness::Meter;
use super::ramp::Ramp;

/// Meters for dry and every bench, and the gain that brings each bench to the loudness of dry.
///
/// The gain follows loudness integrated since the transport started, so it settles and never pumps, and it stays where
/// it is while dry or the bench has nothing to measure.
pub(super) struct Matching {
    dry: Meter,
    benches: Vec<Meter>,
    gains: Vec<Ramp>,
    on: bool,
    hops: u64,
    hop: usize,
}

impl Matching {
    /// No bench is raised or lowered by more: the boost limit of the conversion (design.md section 5). A knob at 0
    /// would otherwise ask for its own noise at full level.
    const LIMIT_DB: f64 = 24.0;

    pub(super) fn new(sample_rate: f64, channels: usize, benches: usize) -> Self {
        let meter = || Meter::new(sample_rate, channels);
        Self {
            dry: meter(),
            benches: (0..benches).map(|_| meter()).collect(),
            gains: vec![Ramp::at(1.0); benches],
            on: false,
            hops: 0,
            hop: Meter::hop_samples(sample_rate),
        }
    }

    /// At a boundary of the control grid: takes new measurements over in 100 ms, and the switch in `fade` samples.
    pub(super) fn begin_step(&mut self, on: bool, fade: usize) {
        let switched = on != self.on;
        if !switched && self.hops == self.dry.hops() {
            return;
        }
        (self.on, self.hops) = (on, self.dry.hops());
        let dry = self.dry.integrated();
        for (gain, bench) in self.gains.iter_mut().zip(&self.benches) {
            let target = match (on, dry, bench.integrated()) {
                (false, ..) => 1.0,
                (true, Some(dry), Some(bench)) => Self::gain(dry - bench),
                (true, ..) => gain.target(),
            };
            if target != gain.target() {
                gain.move_to(target, if switched { fade } else { self.hop });
            }
        }
    }

    /// Hears dry.
    pub(super) fn hear_dry(&mut self, channels: &[Vec<f32>], samples: Range<usize>) {
        self.dry.process(channels, samples);
    }

    /// Hears a bench.
    pub(super) fn hear_bench(&mut self, bench: usize, channels: &[Vec<f32>], samples: Range<usize>) {
        self.benches[bench].process(channels, samples);
    }

    /// Writes a bench's gain for the next samples.
    pub(super) fn write_gain(&mut self, bench: usize, out: &mut [f32]) {
        self.gains[bench].write(out);
    }

    /// Starts measuring anew, and from no gain, in `fade` samples: what is heard must not depend on an earlier pass.
    pub(super) fn restart(&mut self, fade: usize) {
        self.dry.reset();
        self.benches.iter_mut().for_each(Meter::reset);
        self.gains.iter_mut().for_each(|gain| gain.move_to(1.0, fade));
        self.hops = 0;
    }

    /// Back to the beginning, at once.
    pub(super) fn reset(&mut self) {
        self.restart(0);
        self.on = false;
    }

    /// Integrated loudness of dry and of the benches, in LKFS.
    pub(super) fn integrated(&self, bench: Option<usize>) -> Option<f64> {
        match bench {
            None => self.dry.integrated(),
            Some(bench) => self.benches.get(bench)?.integrated(),
        }
    }

    fn gain(difference_db: f64) -> f32 {
        10f64.powf(difference_db.clamp(-Self::LIMIT_DB, Self::LIMIT_DB) / 20.0) as f32
    }
}
