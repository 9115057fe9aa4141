//! A row of values as it is on a string that is stretched.

/// Points that lie, on a string that is stretched, between as many others of the string as documented: a wave on it is as long as a
/// lower one there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub(super) from: usize,
    pub(super) to: usize,
    /// Where the first one's lower neighbour is.
    below: usize,
    stretch: f32,
}

/// The runs of so many points on a string stretched by so much.
#[inline(always)]
pub(super) fn runs(stretch: f32, points: usize) -> impl Iterator<Item = Run> {
    let stretch = if (stretch - 1.0).abs() < 1e-4 { 1.0 } else { stretch };
    let last = if stretch == 1.0 { points - 1 } else { points - 2 };
    let below = move |point: usize| ((point as f32 / stretch) as usize).min(last);
    let mut from = 0;
    std::iter::from_fn(move || {
        let first = below(from);
        let (mut to, mut beyond) = (from + 1, points);
        while to < beyond {
            let middle = to.midpoint(beyond);
            if below(middle) == first + middle - from { to = middle + 1 } else { beyond = middle }
        }
        let run = Run { from, to, below: first, stretch };
        from = to;
        (run.from < points).then_some(run)
    })
}

impl Run {
    /// Adds products of three rows, the last of which is the string's as documented.
    #[inline(always)]
    pub(super) fn add_products(self, sums: &mut [f32], weights: &[f32], energies: &[f32], products: &[f32]) {
        let rows = sums.iter_mut().zip(weights).zip(energies);
        let below = &products[self.below..][..rows.len()];
        if self.stretch == 1.0 {
            return rows.zip(below).for_each(|(((sum, weight), energy), product)| *sum += weight * energy * product);
        }
        let (above, step) = (&products[self.below + 1..][..rows.len()], 1.0 / self.stretch - 1.0);
        let start = (f64::from(self.from as f32) / f64::from(self.stretch) - self.below as f64) as f32;
        for (k, (((sum, weight), energy), (below, above))) in rows.zip(below.iter().zip(above)).enumerate() {
            let share = start + k as f32 * step;
            *sum += weight * energy * (below + share * (above - below));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By definition: the value between the two points around `point / stretch`.
    #[test]
    fn runs_give_what_every_point_by_itself_does() {
        const POINTS: usize = 1000;
        let products: Vec<f32> = (0..POINTS).map(|point| (point as f32 * 0.1).sin()).collect();
        let (weights, energies) = (vec![0.5; POINTS], vec![3.0; POINTS]);
        for stretch in [0.94, 0.9999, 1.0, 1.00005, 1.001, 1.03, 1.12, 2.0] {
            let mut sums = vec![0.0; POINTS];
            let mut next = 0;
            for run in runs(stretch, POINTS) {
                assert_eq!(run.from, next);
                next = run.to;
                let rows = run.from..run.to;
                run.add_products(&mut sums[rows.clone()], &weights[rows.clone()], &energies[rows], &products);
            }
            assert_eq!(next, POINTS);
            for (point, sum) in sums.iter().enumerate() {
                let place = point as f64 / f64::from(stretch);
                let at = (place as usize).min(POINTS - 2);
                let share = (place - at as f64) as f32;
                let wanted = 1.5 * (products[at] + share * (products[at + 1] - products[at]));
                // Beyond the end there is nothing but the last slope; a ratio of 1.00005 counts as none.
                assert!(
                    place > POINTS as f64 || (sum - wanted).abs() < 0.01,
                    "{stretch}, {point}: {sum}, not {wanted}"
                );
            }
        }
    }
}
