//! From an even lattice of frequencies to the even bins of a transform.

/// Linear interpolation, prebuilt for every bin below the lattice's end.
pub(super) struct DetailPlaces {
    places: Vec<(usize, f32)>,
    points: usize,
}

impl DetailPlaces {
    /// For no detail.
    pub(super) fn none() -> Self {
        Self { places: Vec::new(), points: 0 }
    }

    /// From `points` points to `bins` bins, each `step` points wide.
    pub(super) fn new(bins: usize, step: f64, points: usize) -> Self {
        let place = |bin: usize| {
            let place = bin as f64 * step;
            (place as usize, place.fract() as f32)
        };
        Self { places: (0..bins).map(place).take_while(|&(at, _)| at + 1 < points).collect(), points }
    }

    /// Adds a detail to the bins. What is not a number adds nothing.
    pub(super) fn add(&self, detail: &[f32], bins: &mut [f32]) {
        assert_eq!(detail.len(), self.points, "a detail of another length than was expected");
        for (bin, &(at, share)) in bins.iter_mut().zip(&self.places) {
            let value = detail[at] + share * (detail[at + 1] - detail[at]);
            if value.is_finite() {
                *bin += value;
            }
        }
    }
}
