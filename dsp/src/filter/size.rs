//! How long steps, taps and transforms are at a sample rate.

/// Lengths, in samples, that scale with the sample rate so that they stay about the same in seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// One step of the control grid, which is also one partition of the convolver: a power of two.
    pub step: usize,
    /// Taps of a filter: a whole number of steps.
    pub taps: usize,
    /// Transform with which a filter is designed: a power of two, at least four times the taps, so that what wraps
    /// around in time is far below what the cut at the last tap leaves out.
    pub fft: usize,
}

impl Size {
    const RATE: f64 = 48_000.0;
    const STEP: f64 = 32.0;
    const TAPS: f64 = 2048.0;
    /// The convolver computes its head 16 samples at a time.
    const SHORTEST_STEP: usize = 16;

    /// The lengths at a sample rate, in hertz: 32, 2048 and 8192 at 48 kHz.
    ///
    /// # Panics
    /// When the rate lies outside 8 kHz to 1 MHz.
    pub fn at(sample_rate: f64) -> Self {
        assert!((8e3..=1e6).contains(&sample_rate), "no filter is designed for a sample rate of {sample_rate} Hz");
        let scale = sample_rate / Self::RATE;
        let step = ((Self::STEP * scale.log2().round().exp2()) as usize).max(Self::SHORTEST_STEP);
        let taps = ((Self::TAPS * scale).ceil() as usize).next_multiple_of(step);
        Self { step, taps, fft: (4 * taps).next_power_of_two() }
    }
}
