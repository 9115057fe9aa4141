//! A filter as a plain value.

/// An FIR, and four fixed one-pole tails that begin where it ends:
///
/// h\[n\] = taps\[n\] for n < N, and sum_k tail\[k\] p_k^(n - N) from n = N on, with the poles p_k of [`Tail::poles`].
///
/// The tails are what a tone branch behind a volume pot leaves after the last tap: its time constant, 100 nF times
/// 500 kohm, is longer than the FIR. All filters of a rate have the same poles, so that an engine keeps one set of
/// states per channel, whatever filters listen to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Filter {
    /// The FIR.
    pub taps: Vec<f32>,
    /// What each pole starts with at n = N.
    pub tail: [f32; Tail::POLES],
}

impl Filter {
    /// A filter that lets nothing through.
    pub fn silent(taps: usize) -> Self {
        Self { taps: vec![0.0; taps], tail: [0.0; Tail::POLES] }
    }
}

/// The poles of the tails.
#[derive(Debug, Clone, Copy)]
pub struct Tail;

impl Tail {
    /// How many there are.
    pub const POLES: usize = 4;
    /// Where they lie, in hertz. A mode of 36 Hz has fallen by 84 dB within the FIR; the slowest that the parts of
    /// a guitar make (100 nF, 500 kohm) lies at 3.2 Hz; a sum of neighbours stands for every mode in between.
    const HERTZ: [f64; Self::POLES] = [2.5, 7.0, 16.0, 36.0];

    /// The poles at a sample rate, in hertz: exp(-2 pi f / rate).
    pub fn poles(sample_rate: f64) -> [f64; Self::POLES] {
        Self::HERTZ.map(|hertz| (-std::f64::consts::TAU * hertz / sample_rate).exp())
    }
}
