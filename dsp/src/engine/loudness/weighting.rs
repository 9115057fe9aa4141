//! K-weighting: a high shelf for the head, then a high-pass.

use biquad::{Biquad, Coefficients, DirectForm2Transposed};

/// The rate, in hertz, for which the standard prints its coefficients.
const TABLE_RATE: f64 = 48_000.0;

/// BS.1770-5, annex 1, tables 1 (head) and 2 (high-pass).
const TABLE: [Coefficients<f64>; 2] = [
    Coefficients {
        b0: 1.53512485958697,
        b1: -2.69169618940638,
        b2: 1.19839281085285,
        a1: -1.69065929318241,
        a2: 0.73248077421585,
    },
    Coefficients { b0: 1.0, b1: -2.0, b2: 1.0, a1: -1.99004745483398, a2: 0.99007225036621 },
];

/// The two stages' coefficients at a sample rate, in hertz.
///
/// The standard gives them at 48 kHz and asks for the same response elsewhere: the table is taken back to the analogue
/// prototype by the inverse bilinear transform, and from there forward at the new rate, with each stage's own corner
/// frequency kept exactly. At 48 kHz that is the table.
pub fn coefficients(sample_rate: f64) -> [Coefficients<f64>; 2] {
    TABLE.map(|stage| at_rate(&stage, sample_rate))
}

fn at_rate(table: &Coefficients<f64>, sample_rate: f64) -> Coefficients<f64> {
    let top = bilinear([table.b0, table.b1, table.b2]);
    let bottom = bilinear([1.0, table.a1, table.a2]);
    // s is tan(pi f / rate); the corner is where the outer terms of the denominator are equal.
    let corner = (bottom[0] / bottom[2]).sqrt();
    let stretch = corner / (corner.atan() * TABLE_RATE / sample_rate).tan();
    let stretched = |[c0, c1, c2]: [f64; 3]| [c0, c1 * stretch, c2 * stretch * stretch];
    let ([b0, b1, b2], [a0, a1, a2]) = (bilinear(stretched(top)), bilinear(stretched(bottom)));
    Coefficients { b0: b0 / a0, b1: b1 / a0, b2: b2 / a0, a1: a1 / a0, a2: a2 / a0 }
}

/// Bilinear transform of a polynomial, either way, but for a common factor: with x = (1 - s) / (1 + s), which is its own
/// inverse, c0 + c1 x + c2 x^2 is (c0 + c1 + c2) + 2 (c0 - c2) s + (c0 - c1 + c2) s^2 over (1 + s)^2.
fn bilinear([c0, c1, c2]: [f64; 3]) -> [f64; 3] {
    [c0 + c1 + c2, 2.0 * (c0 - c2), c0 - c1 + c2]
}

/// The weighting of one channel.
pub struct KWeighting {
    head: DirectForm2Transposed<f64>,
    high_pass: DirectForm2Transposed<f64>,
}

impl KWeighting {
    /// At a sample rate, in hertz.
    pub fn new(sample_rate: f64) -> Self {
        let [head, high_pass] = coefficients(sample_rate).map(DirectForm2Transposed::new);
        Self { head, high_pass }
    }

    /// Weights one sample.
    pub fn run(&mut self, sample: f64) -> f64 {
        self.high_pass.run(self.head.run(sample))
    }

    /// Forgets what was heard.
    pub fn reset(&mut self) {
        self.head.reset_state();
        self.high_pass.reset_state();
    }
}
