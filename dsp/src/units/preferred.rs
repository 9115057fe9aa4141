//! Preferred values of parts, after IEC 60063.

/// A series of preferred values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Series {
    /// Six values a decade.
    E6,
    /// Twelve values a decade.
    E12,
    /// Twenty-four values a decade.
    E24,
}

/// IEC 60063, E24. Not the rounded powers of 10^(1/24): 27 to 47 and 82 differ from those for historical reasons.
const E24: [u8; 24] = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];

impl Series {
    /// The values of one decade, from 10 up.
    pub fn decade(self) -> impl Iterator<Item = u8> {
        let stride = match self {
            Self::E6 => 4,
            Self::E12 => 2,
            Self::E24 => 1,
        };
        E24.into_iter().step_by(stride)
    }

    /// The values between two limits (both included), ascending.
    pub fn between(self, low: f64, high: f64) -> Vec<f64> {
        if !(low > 0.0 && high >= low && high.is_finite()) {
            return Vec::new();
        }
        let decades = (low.log10().floor() as i32 - 1)..=(high.log10().ceil() as i32);
        decades
            .flat_map(|decade| self.decade().map(move |digits| exactly(digits, decade)))
            .filter(|value| (low * (1.0 - 1e-9)..=high * (1.0 + 1e-9)).contains(value))
            .collect()
    }
}

/// The value of a series that is nearest to `value` in ratio.
///
/// # Panics
/// When `value` is not a positive finite number.
pub fn nearest_preferred(value: f64, series: Series) -> f64 {
    assert!(value > 0.0 && value.is_finite(), "only positive parts have a preferred value, not {value}");
    let off = |candidate: &f64| (candidate / value).ln().abs();
    series
        .between(value / 2.0, value * 2.0)
        .into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .expect("a factor of four holds at least two values of every series")
}

/// digits x 10^decade / 10, by decimal text, so that 4.7e-8 is the same number that a document's `47n` becomes.
fn exactly(digits: u8, decade: i32) -> f64 {
    format!("{digits}e{}", decade - 1).parse().expect("a decimal number")
}
