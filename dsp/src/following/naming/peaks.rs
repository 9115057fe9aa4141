//! Peaks of a spectrum, as precisely as the frame allows.

use crate::following::room::Room;

/// The peaks of one frame, ascending. Allocates nothing after [`Peaks::new`].
#[derive(Debug, Clone)]
pub(in crate::following) struct Peaks {
    all: Room<Peak>,
    /// The nearest peak to every bin.
    nearest: Vec<u16>,
    floor_db: Room<f32>,
    sorted: Room<f32>,
    /// From one bin of the padded spectrum to the next, in hertz.
    spacing: f32,
    /// Its reciprocal.
    per_hertz: f32,
    /// Standard deviation of a clear peak, in hertz.
    deviation: f32,
}

/// A peak.
#[derive(Debug, Clone, Copy)]
pub(super) struct Peak {
    /// In hertz.
    pub(super) hertz: f32,
    /// Variance of that, in hertz squared: a faint peak is not known as well as a strong one.
    pub(super) variance: f32,
    /// How much it says, 0 to 1, by how far it stands out and how strong it is.
    pub(super) weight: f32,
    level_db: f32,
    out_db: f32,
}

impl Peaks {
    /// Bins of the transform per bin of the frame: frames are continued with as many zeros.
    pub(in crate::following) const PADDING: usize = 2;
    /// Peaks above this are of no use, in hertz.
    const TOP_HERTZ: f32 = 7000.0;
    /// Width of the blocks in which the floor is measured, in hertz.
    const BLOCK_HERTZ: f32 = 190.0;
    /// A peak stands out of the floor by so much at least, in dB.
    const LEAST_OUT_DB: f32 = 8.0;
    /// A peak further below a neighbour than this, in dB, is taken for its side lobe.
    const SIDE_LOBE_DB: f32 = 24.0;
    /// So far on both sides, in padded bins, side lobes are looked for.
    const REACH: usize = 14;
    /// Standard deviation of a clear peak, in bins of the frame: 1 Hz with 8192 samples at 48 kHz (measured by the study).
    const DEVIATION_BINS: f32 = 8192.0 / 48_000.0;

    /// For padded spectra of that spacing, in hertz.
    pub(in crate::following) fn new(spacing: f64) -> Self {
        let spacing = spacing as f32;
        let bins = (Self::TOP_HERTZ / spacing) as usize;
        Self {
            all: Room::for_up_to(bins / 2),
            nearest: vec![0; bins],
            floor_db: Room::for_up_to(bins),
            sorted: Room::for_up_to(bins),
            spacing,
            per_hertz: 1.0 / spacing,
            deviation: Self::DEVIATION_BINS * spacing * Self::PADDING as f32,
        }
    }

    /// How many bins are looked at.
    pub(in crate::following) fn bins(&self) -> usize {
        self.nearest.len() + 2
    }

    /// Finds the peaks in magnitudes, one per padded bin.
    pub(in crate::following) fn find(&mut self, magnitudes: &[f32]) {
        self.all.clear();
        self.measure_floor(magnitudes);
        let loudest = magnitudes[..self.nearest.len()].iter().fold(0.0f32, |max, &value| max.max(value));
        let least = loudest * 1e-4;
        for bin in 2..self.nearest.len() {
            let (before, here, after) = (magnitudes[bin - 1], magnitudes[bin], magnitudes[bin + 1]);
            if here > least && here >= before && here > after {
                self.take(bin, magnitudes);
            }
        }
        let strongest = self.all.iter().fold(f32::MIN, |max, peak| max.max(peak.level_db));
        for peak in self.all.iter_mut() {
            let clear = ((peak.out_db - Self::LEAST_OUT_DB) / 12.0).clamp(0.0, 1.0);
            let strong = ((peak.level_db - strongest + 62.0) / 20.0).clamp(0.0, 1.0);
            peak.weight = clear * strong;
            let faint = 10.0 / peak.out_db.max(10.0);
            peak.variance = self.deviation * self.deviation * (0.25 + 0.75 * faint * faint);
        }
        self.map();
    }

    /// The peak nearest to a frequency in hertz, if there is any.
    #[inline(always)]
    pub(super) fn nearest(&self, hertz: f32) -> Option<&Peak> {
        self.all.get(usize::from(*self.nearest.get((hertz * self.per_hertz) as usize)?))
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.all.len()
    }

    /// Width of a bin of the frame itself, in hertz.
    pub(super) fn bin_hertz(&self) -> f32 {
        self.spacing * Self::PADDING as f32
    }

    /// The 25th percentile of every block.
    fn measure_floor(&mut self, magnitudes: &[f32]) {
        let block = ((Self::BLOCK_HERTZ / self.spacing) as usize).max(4);
        self.floor_db.clear();
        for values in magnitudes[..self.nearest.len()].chunks_exact(block) {
            self.sorted.clear();
            self.sorted.extend_from_slice(values);
            let (_, value, _) = self.sorted.select_nth_unstable_by(block / 4, f32::total_cmp);
            self.floor_db.push(db(*value));
        }
    }

    fn floor_at(&self, bin: usize) -> f32 {
        let block = ((Self::BLOCK_HERTZ / self.spacing) as usize).max(4);
        let place = (bin as f32 / block as f32 - 0.5).clamp(0.0, self.floor_db.len() as f32 - 1.0);
        let at = (place as usize).min(self.floor_db.len().saturating_sub(2));
        let share = place - at as f32;
        self.floor_db[at] + share * (self.floor_db[at + 1] - self.floor_db[at])
    }

    /// A parabola through three levels in dB.
    fn take(&mut self, bin: usize, magnitudes: &[f32]) {
        /// Where both neighbours are at most 12 dB below, a parabola rises at most by an eighth of that, in dB.
        const FLAT: f32 = 0.251;
        const RISE_DB: f32 = 1.51;
        let (here, floor) = (db(magnitudes[bin]), self.floor_at(bin));
        let is_flat = magnitudes[bin - 1].min(magnitudes[bin + 1]) > FLAT * magnitudes[bin];
        if is_flat && here + RISE_DB - floor < Self::LEAST_OUT_DB {
            // Most are this: ripples of what is no peak.
            return;
        }
        let [before, after] = [bin - 1, bin + 1].map(|bin| db(magnitudes[bin]));
        let off = (0.5 * (before - after) / (before - 2.0 * here + after - 1e-12)).clamp(-0.6, 0.6);
        let level = here - 0.25 * (before - after) * off;
        let out = level - floor;
        if out <= Self::LEAST_OUT_DB {
            return;
        }
        let around = &magnitudes[bin.saturating_sub(Self::REACH)..(bin + Self::REACH + 1).min(magnitudes.len())];
        let neighbour = around.iter().fold(0.0f32, |max, &value| max.max(value));
        if level > db(neighbour) - Self::SIDE_LOBE_DB {
            let hertz = (bin as f32 + off) * self.spacing;
            self.all.push(Peak { hertz, variance: 0.0, weight: 0.0, level_db: level, out_db: out });
        }
    }

    fn map(&mut self) {
        let mut peak = 0;
        for (bin, nearest) in self.nearest.iter_mut().enumerate() {
            let hertz = (bin as f32 + 0.5) * self.spacing;
            while peak + 1 < self.all.len() && self.all[peak + 1].hertz - hertz < hertz - self.all[peak].hertz {
                peak += 1;
            }
            *nearest = peak as u16;
        }
    }
}

fn db(magnitude: f32) -> f32 {
    20.0 * magnitude.max(1e-15).log10()
}
