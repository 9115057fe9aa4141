//! The frequencies at which a take is analysed.

/// Frequencies that are evenly spaced from 0 Hz on: the bins of the analysis up to its top, and a stretch above it into which
/// what was found is continued.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    spacing: f64,
    analysed: usize,
    points: usize,
}

impl Lattice {
    /// No partials are looked for above this, in hertz: above it following is no better than a static filter (design.md,
    /// measured on real recordings above 5 kHz).
    pub(super) const ANALYSED_HERTZ: f64 = 8000.0;
    /// What is found is continued up to here, in hertz.
    const TOP_HERTZ: f64 = 10_000.0;
    /// Points come in groups that the processor takes at once.
    pub(super) const LANES: usize = 8;

    /// With that spacing, in hertz.
    ///
    /// # Panics
    /// When the spacing is not positive.
    pub fn new(spacing: f64) -> Self {
        assert!(spacing > 0.0, "a lattice needs a positive spacing, not {spacing}");
        let up_to = |hertz: f64| ((hertz / spacing) as usize + 1).next_multiple_of(Self::LANES);
        Self { spacing, analysed: up_to(Self::ANALYSED_HERTZ), points: up_to(Self::TOP_HERTZ) }
    }

    /// From one frequency to the next, in hertz.
    pub fn spacing(&self) -> f64 {
        self.spacing
    }

    /// How many of the frequencies are analysed.
    pub fn analysed(&self) -> usize {
        self.analysed
    }

    /// How many frequencies there are.
    pub fn points(&self) -> usize {
        self.points
    }

    /// The frequencies, ascending, in hertz.
    pub fn hertz(&self) -> impl Iterator<Item = f64> {
        let spacing = self.spacing;
        (0..self.points).map(move |point| point as f64 * spacing)
    }
}
