//! The table of cell-averaged products that the conversion reads.

use std::f64::consts::PI;

use dryfit_dsp::document::{Guitar, Magnet, Pickup};
use dryfit_dsp::string::{Energies, PlaceTable, SensingTable, StiffString, modes, prior, sensing};
use proptest::prelude::*;

use crate::guitar::{SCALE, odd_guitar, three_single_coils};

/// The grid of the circuit stage: 128 points, f = 60 sinh(x) Hz (design.md section 4).
pub fn grid() -> Vec<f64> {
    let step = (24000.0_f64 / 60.0).asinh() / 127.0;
    (0..128).map(|i| (60.0 * (step * f64::from(i)).sinh()).max(1e-2)).collect()
}

#[test]
fn the_table_is_symmetrical_and_no_pair_exceeds_its_pickups() {
    let table = PlaceTable::prior(&three_single_coils(), &grid());
    assert_eq!((table.pickups(), table.points()), (3, 128));
    for (i, j) in [(0, 1), (0, 2), (1, 2)] {
        assert_eq!(table.product(i, j), table.product(j, i));
        for p in 0..table.points() {
            let (ii, jj, ij) = (table.product(i, i)[p], table.product(j, j)[p], table.product(i, j)[p]);
            // Cauchy-Schwarz: a mean of products is at most the geometric mean of the mean squares.
            assert!(ii > 0.0 && jj > 0.0 && ij * ij <= ii * jj, "pair {i} {j}, point {p}");
        }
    }
}

/// Second route: a plain mean over 20000 frequencies a cell, written from the equations and not from the code. The
/// tolerance, 1e-5 of the diagonal (4e-5 dB), is far below the 0.05 dB budget and above the plain mean's own error,
/// (20 rad / 20000)^2 / 24 of each oscillation.
#[test]
fn cell_averages_agree_with_a_dense_brute_force_average() {
    let mut guitar = three_single_coils();
    guitar.pickups[1].magnet = Magnet::South;
    guitar.pickups[2].voicing = vec![(100.0, 0.0), (3000.0, 4.0)];
    let grid = grid();
    let table = PlaceTable::prior(&guitar, &grid);
    for p in [0, 1, 20, 60, 100, 126, 127] {
        let low = if p == 0 { grid[0] } else { 0.5 * (grid[p - 1] + grid[p]) };
        let high = if p == 127 { grid[127] } else { 0.5 * (grid[p] + grid[p + 1]) };
        for (i, j) in [(0, 0), (2, 2), (0, 1), (1, 2)] {
            let dense = brute_force(&guitar, (i, j), grid[p], (low, high));
            let size = (table.product(i, i)[p] * table.product(j, j)[p]).sqrt();
            let found = table.product(i, j)[p];
            assert!((found - dense).abs() < 1e-5 * size, "pair {i} {j} at {} Hz: {found} against {dense}", grid[p]);
        }
    }
}

fn brute_force(guitar: &Guitar, (i, j): (usize, usize), centre: f64, (low, high): (f64, f64)) -> f64 {
    let pieces = 20_000;
    let mut total = 0.0;
    for s in 0..6 {
        let (f0, b) = (guitar.strings[s].pitch, modes::inharmonicity(&guitar.strings[s], SCALE));
        for q in 0..pieces {
            let hertz = low + (high - low) * (f64::from(q) + 0.5) / f64::from(pieces);
            let n = ((-1.0 + (1.0 + 4.0 * b * (hertz / f0).powi(2)).sqrt()) / (2.0 * b)).sqrt();
            let sensed = [i, j].map(|of| {
                let (pickup, k) = (&guitar.pickups[of], n * PI / SCALE);
                let half = k * pickup.sensing_width / 2.0;
                let top = half.sin() / half * sensing::voice(pickup, hertz);
                let magnet = if pickup.magnet == Magnet::North { 1.0 } else { -1.0 };
                (magnet * top * (k * pickup.distance(s, 6)).sin(), top)
            });
            let floor = if i == j { sensed[0].1 * sensed[1].1 * 10.0_f64.powf(-1.4) } else { 0.0 };
            total += prior(f0, centre) * (sensed[0].0 * sensed[1].0 + floor) / f64::from(pieces);
        }
    }
    total
}

/// A cell so narrow that the comb does not move in it, on a null: what is left is the floor, 14 dB below the comb's top
/// (which the sensing width lowers). The tolerance is what the comb itself has left a millionth away from its null.
#[test]
fn on_a_null_the_table_holds_the_floor_below_the_combs_top() {
    let mut guitar = three_single_coils();
    guitar.strings.truncate(1);
    guitar.pickups[2].distance_low = SCALE / 5.0;
    let null = StiffString::open(&guitar.strings[0], SCALE);
    let hertz = [0.999_999, 1.0, 1.000_001].map(|share| share * null.partial(5));
    let table = SensingTable::new(&guitar, &hertz);
    let half = 5.0 * PI / SCALE * guitar.pickups[2].sensing_width / 2.0;
    let depth_db = 10.0 * (table.product(0, 2, 2)[1] / (half.sin() / half).powi(2)).log10();
    assert!((depth_db + 14.0).abs() < 1e-6, "{depth_db} dB");
}

/// Why a conversion that keeps its pickup is exact: what differs by a gain only has a ratio without any comb in it. The
/// tolerance is rounding.
#[test]
fn two_pickups_in_one_place_differ_by_their_level_alone() {
    let mut guitar = three_single_coils();
    guitar.pickups[1] = Pickup { output_db: 6.0, name: "louder".into(), ..guitar.pickups[0].clone() };
    let table = PlaceTable::prior(&guitar, &grid());
    for (one, other) in table.product(0, 0).iter().zip(table.product(1, 1)) {
        assert!((10.0 * (other / one).log10() - 6.0).abs() < 1e-9);
    }
}

/// The prior is one of many weightings: all the energy on one string leaves that string's products.
#[test]
fn energies_of_one_string_leave_the_products_of_that_string() {
    let (guitar, grid) = (three_single_coils(), grid());
    let table = SensingTable::new(&guitar, &grid);
    let mut per_string = vec![vec![0.0; grid.len()]; 6];
    per_string[3] = vec![1.0; grid.len()];
    let weighed = table.weigh(&Energies { per_string });
    assert_eq!(weighed.product(0, 2), table.product(3, 0, 2));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_valid_guitar_has_a_finite_table_with_a_positive_diagonal(guitar in odd_guitar()) {
        let table = PlaceTable::prior(&guitar, &grid());
        for (i, j) in [(0, 0), (1, 1), (0, 1)] {
            prop_assert!(table.product(i, j).iter().all(|value| value.is_finite()));
            prop_assert!(i != j || table.product(i, j).iter().all(|&value| value > 0.0));
        }
    }
}
