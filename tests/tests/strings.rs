//! Strings: stiffness, what a pickup senses at its place, prior energies, and the table that the conversion reads.

use std::f64::consts::PI;

use dryfit_dsp::document::{Coil, Guitar, GuitarString, Magnet, Pickup, StringMaterial, Winding};
use dryfit_dsp::string::{Energies, PlaceTable, STEEL_MODULUS, SensingTable, StiffString, modes, prior, sensing};
use proptest::prelude::*;

const SCALE: f64 = 0.648;
/// Standard tuning in equal temperament on 440 Hz: pitch, gauge and core of an ordinary set (common practice, no source).
const STRINGS: [(f64, f64, f64); 6] = [
    (82.407, 1.17e-3, 0.43e-3),
    (110.0, 0.91e-3, 0.38e-3),
    (146.832, 0.66e-3, 0.35e-3),
    (195.998, 0.43e-3, 0.43e-3),
    (246.942, 0.33e-3, 0.33e-3),
    (329.628, 0.254e-3, 0.254e-3),
];

fn string(pitch: f64, gauge: f64, core: f64) -> GuitarString {
    let material = if core < gauge { StringMaterial::NickelWound } else { StringMaterial::PlainSteel };
    GuitarString { pitch, gauge, core, material, inharmonicity: None }
}

fn pickup(name: &str, distance_low: f64, distance_high: f64) -> Pickup {
    Pickup {
        name: name.into(),
        distance_low,
        distance_high,
        sensing_width: 0.012,
        null_depth_db: -14.0,
        output_db: 0.0,
        voicing: Vec::new(),
        winding: Winding::Clockwise,
        magnet: Magnet::North,
        coil: Coil { resistance: 5.7e3, inductance: 2.2, capacitance: 110e-12, eddy_resistance: None, plate: None },
    }
}

fn guitar() -> Guitar {
    Guitar {
        title: "three single coils".into(),
        about: String::new(),
        scale_length: SCALE,
        strings: STRINGS.iter().map(|&(pitch, gauge, core)| string(pitch, gauge, core)).collect(),
        pickups: vec![pickup("bridge", 0.046, 0.036), pickup("middle", 0.1, 0.1), pickup("neck", 0.16, 0.16)],
        couplings: Vec::new(),
    }
}

/// The grid of the circuit stage: 128 points, f = 60 sinh(x) Hz (design.md section 4).
fn grid() -> Vec<f64> {
    let step = (24000.0_f64 / 60.0).asinh() / 127.0;
    (0..128).map(|i| (60.0 * (step * f64::from(i)).sinh()).max(1e-2)).collect()
}

/// Source of the ranges: open plain strings of the IDMT-SMT-Guitar data set, measured on direct recordings, as issue 2
/// gives them. Tolerance 5 % beyond the range: the modulus of music wire is quoted within 5 % either way (190 to 207 GPa),
/// gauges are drawn to about 2 % (which counts twice in B), and the scale length, on which B depends by the fourth power,
/// is itself only assumed (all values from memory).
#[test]
fn plain_strings_are_as_inharmonic_as_measured_on_real_recordings() {
    let measured = [
        ("E4", 329.628, 0.2286e-3, 1.03e-5, 1.08e-5),
        ("B3", 246.942, 0.2794e-3, 2.74e-5, 2.85e-5),
        ("G3", 195.998, 0.4064e-3, 9.75e-5, 1.01e-4),
    ];
    for (name, pitch, gauge, low, high) in measured {
        let b = modes::inharmonicity(&string(pitch, gauge, gauge), SCALE);
        println!("{name}: B = {b:.4e}, measured {low:.3e} to {high:.3e}");
        assert!(b > low * 0.95 && b < high * 1.05, "{name}: {b:.4e} against {low:.3e} to {high:.3e}");
    }
}

/// Source: the form given in issue 2, B = pi^2 E d^2 / (64 rho L^4 f^2), from Fletcher 1964; the tolerance is rounding.
#[test]
fn inharmonicity_of_a_plain_string_needs_no_tension() {
    let (pitch, gauge, density) = (196.0, 0.43e-3, 7850.0);
    let without = PI.powi(2) * STEEL_MODULUS * f64::powi(gauge, 2) / (64.0 * density * SCALE.powi(4) * pitch * pitch);
    assert!((modes::inharmonicity(&string(pitch, gauge, gauge), SCALE) / without - 1.0).abs() < 1e-12);
}

/// Sources: usual tension tables of string sets, 17.5 and 16.2 lbf at 648 mm (values from memory). Tolerance 6 %: tables of
/// different origin differ by that much for the same gauge, because windings and cores differ.
#[test]
fn tensions_are_those_of_the_usual_tables() {
    let newton_per_pound = 4.448;
    for (string, pounds) in [(string(82.407, 1.17e-3, 0.43e-3), 17.5), (string(329.628, 0.254e-3, 0.254e-3), 16.2)] {
        let tension = modes::tension(&string, SCALE) / newton_per_pound;
        println!("{tension:.2} lbf against {pounds}");
        assert!((tension / pounds - 1.0).abs() < 0.06, "{tension} lbf against {pounds}");
    }
}

/// A core carries the stiffness while the winding only adds mass. Source of the size: the numerical study in the reference
/// folder takes 1.2e-4 for the low E string; a factor of two either way because B goes with the fourth power of a core that
/// sets of the same gauge choose 10 to 15 % apart (common practice, no source).
#[test]
fn a_wound_string_is_as_stiff_as_its_core_only() {
    let b = modes::inharmonicity(&string(82.407, 1.17e-3, 0.43e-3), SCALE);
    let as_thick = modes::inharmonicity(&string(82.407, 1.17e-3, 1.17e-3), SCALE);
    println!("B = {b:.3e}, as a bar {as_thick:.3e}");
    assert!(b > 0.6e-4 && b < 2.4e-4, "{b:.3e}");
    assert!(as_thick > 20.0 * b, "a plain bar of that gauge: {as_thick:.3e} against {b:.3e}");
}

#[test]
fn a_measured_inharmonicity_wins_over_the_derived_one() {
    let measured = GuitarString { inharmonicity: Some(9e-5), ..string(82.407, 1.17e-3, 0.43e-3) };
    assert_eq!(StiffString::open(&measured, SCALE).inharmonicity, 9e-5);
}

/// Source: the definition f_n = n f0 sqrt(1 + B n^2) and k_n = n pi / L; the tolerance is rounding.
#[test]
fn the_wavenumber_at_a_partial_counts_its_half_waves() {
    for inharmonicity in [0.0, 1e-12, 1e-5, 1e-3] {
        let string = StiffString { fundamental: 110.0, inharmonicity, length: SCALE };
        for n in [1, 2, 17, 100] {
            let hertz = n as f64 * 110.0 * (1.0 + inharmonicity * (n * n) as f64).sqrt();
            assert!((string.partial(n) / hertz - 1.0).abs() < 1e-12);
            let half_waves = string.wavenumber(hertz) * SCALE / PI;
            assert!((half_waves / n as f64 - 1.0).abs() < 1e-12, "B {inharmonicity}, partial {n}: {half_waves}");
            assert_eq!(string.partials_below(hertz * 1.001), n);
            assert_eq!(string.partials_below(hertz * 0.999), n - 1);
        }
    }
}

/// A finger shortens the string but changes neither its tension nor its stiffness: a wave of one frequency is as long as
/// before, exactly if f0 goes with 2^(fret/12) and B with 2^(fret/6) (design.md section 5). The tolerance is rounding.
#[test]
fn fretting_leaves_the_dispersion_of_the_string_as_it_is() {
    let open = StiffString { fundamental: 110.0, inharmonicity: 7e-5, length: SCALE };
    let fretted = open.fretted(7.0);
    assert!((fretted.inharmonicity / 7e-5 - 2.0_f64.powf(7.0 / 6.0)).abs() < 1e-12);
    assert!((fretted.fundamental / 110.0 - 2.0_f64.powf(7.0 / 12.0)).abs() < 1e-12);
    for hertz in [50.0, 440.0, 5000.0, 18000.0] {
        assert!((fretted.wavenumber(hertz) / open.wavenumber(hertz) - 1.0).abs() < 1e-12);
    }
}

/// Second route: the mean of sin(k x) over the width, summed piece by piece. Tolerance: the midpoint sum's own error,
/// (k h)^2 / 24 with 10000 pieces, is below 1e-8.
#[test]
fn a_wide_pickup_senses_the_mean_of_what_lies_over_it() {
    let wide = pickup("neck", 0.16, 0.16);
    for k in [5.0, 60.0, 300.0, 700.0] {
        let pieces = 10_000;
        let place = |i: i32| 0.16 + wide.sensing_width * ((f64::from(i) + 0.5) / f64::from(pieces) - 0.5);
        let mean = (0..pieces).map(|i| (k * place(i)).sin()).sum::<f64>() / f64::from(pieces);
        assert!((sensing::sense(&wide, 0.16, k) - mean).abs() < 1e-8, "k = {k}");
    }
}

#[test]
fn only_winding_and_magnet_together_leave_a_pickup_as_it_was() {
    let plain = pickup("middle", 0.1, 0.1);
    let magnet = Pickup { magnet: Magnet::South, ..plain.clone() };
    let both = Pickup { winding: Winding::CounterClockwise, ..magnet.clone() };
    assert_eq!(sensing::sense(&magnet, 0.1, 12.0), -sensing::sense(&plain, 0.1, 12.0));
    assert_eq!(sensing::sense(&both, 0.1, 12.0), sensing::sense(&plain, 0.1, 12.0));
}

/// The tolerance is rounding at the knots; between and beyond them nothing may lie outside what was asked for.
#[test]
fn voicing_passes_through_its_knots_without_overshoot_and_is_flat_outside() {
    let knots = vec![(80.0, 0.0), (400.0, 6.0), (1000.0, 6.0), (5000.0, -9.0)];
    let voiced = Pickup { output_db: 2.0, voicing: knots.clone(), ..pickup("neck", 0.16, 0.16) };
    let level_db = |hertz: f64| 20.0 * sensing::voice(&voiced, hertz).log10();
    for (hertz, db) in knots {
        assert!((level_db(hertz) - db - 2.0).abs() < 1e-9, "{hertz} Hz: {}", level_db(hertz));
    }
    assert!((level_db(20.0) - 2.0).abs() < 1e-9 && (level_db(20000.0) + 7.0).abs() < 1e-9);
    let curve: Vec<f64> = (0..2000).map(|i| level_db(20.0 * 1000.0_f64.powf(f64::from(i) / 1999.0))).collect();
    assert!(curve.iter().all(|&db| db > -7.0 - 1e-9 && db < 8.0 + 1e-9));
    // Straight lines between these knots would bend by 0.032 dB within one step where the steepest one begins (15 dB in
    // 466 steps); a cubic bends ten times less.
    let bends = curve.windows(3).map(|w| (w[2] - 2.0 * w[1] + w[0]).abs());
    assert!(bends.fold(0.0, f64::max) < 0.0032, "a corner");
}

/// Source: the reference study's prior (place/t1.py, `an`): power 1e-3 below 0.9 of the open string, (f0/f)^2 above it.
/// Tolerances are rounding.
#[test]
fn the_prior_is_silent_below_the_open_string_and_falls_with_the_square_of_frequency() {
    assert_eq!(prior(110.0, 110.0), 1.0);
    assert!((prior(110.0, 98.9) - 1e-3).abs() < 1e-12 && (prior(110.0, 1e-2) - 1e-3).abs() < 1e-12);
    assert!((prior(110.0, 220.0) - 0.25).abs() < 1e-12 && (prior(110.0, 1100.0) - 0.01).abs() < 1e-12);
    let edge: Vec<f64> = (0..=100).map(|i| 10.0 * prior(110.0, 98.0 + 0.13 * f64::from(i)).log10()).collect();
    let steepest = edge.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max);
    // 30 dB over 11 Hz, eased at both ends: at most 1.5 times the mean slope, 0.53 dB in a step of 0.13 Hz; 5 % more
    // because the easing is over ln(f).
    assert!(steepest < 0.56, "{steepest} dB in one step");
}

/// Where a string begins, the sum over all strings must not leap on the circuit's grid: the lower strings carry it. The
/// string a fourth below has (3/4)^2 of the new one's power, so the sum rises by at most 10 lg(1 + 16/9) = 4.4 dB in the two
/// points of the edge, less what the lower ones fall.
#[test]
fn a_string_that_begins_does_not_make_the_sum_of_the_priors_leap() {
    let (grid, guitar) = (grid(), guitar());
    let energies = Energies::prior(&guitar, &grid);
    let total: Vec<f64> = (0..grid.len()).map(|p| energies.per_string.iter().map(|e| e[p]).sum()).collect();
    for (p, pair) in total.windows(2).enumerate().filter(|(p, _)| grid[*p] > 83.0) {
        let step = 10.0 * (pair[1] / pair[0]).log10();
        assert!(step.abs() < 4.4, "{step} dB at {} Hz", grid[p]);
    }
}

#[test]
fn the_table_is_symmetrical_and_no_pair_exceeds_its_pickups() {
    let table = PlaceTable::prior(&guitar(), &grid());
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
    let mut guitar = guitar();
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
    let mut guitar = guitar();
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
    let mut guitar = guitar();
    guitar.pickups[1] = Pickup { output_db: 6.0, name: "louder".into(), ..guitar.pickups[0].clone() };
    let table = PlaceTable::prior(&guitar, &grid());
    for (one, other) in table.product(0, 0).iter().zip(table.product(1, 1)) {
        assert!((10.0 * (other / one).log10() - 6.0).abs() < 1e-9);
    }
}

/// The prior is one of many weightings: all the energy on one string leaves that string's products.
#[test]
fn energies_of_one_string_leave_the_products_of_that_string() {
    let (guitar, grid) = (guitar(), grid());
    let table = SensingTable::new(&guitar, &grid);
    let mut per_string = vec![vec![0.0; grid.len()]; 6];
    per_string[3] = vec![1.0; grid.len()];
    let weighed = table.weigh(&Energies { per_string });
    assert_eq!(weighed.product(0, 2), table.product(3, 0, 2));
}

prop_compose! {
    fn odd_guitar()(
        count in 1_usize..9,
        scale_length in 0.2_f64..1.2,
        lowest in 20.0_f64..200.0,
        interval in 1.0_f64..9.0,
        thickest in 0.3e-3_f64..2e-3,
        core_share in 0.3_f64..1.0,
        share in 0.01_f64..0.5,
        sensing_width in 0.0_f64..0.05,
        null_depth_db in -60.0_f64..0.0,
        knots in prop::collection::vec(-20.0_f64..20.0, 0..4),
    ) -> Guitar {
        let strings = (0..count).map(|s| {
            let pitch = lowest * 2.0_f64.powf(interval * s as f64 / 12.0);
            let gauge = thickest * 0.8_f64.powi(s as i32);
            string(pitch, gauge, if s < 4 { gauge * core_share } else { gauge })
        });
        let voicing = knots.iter().enumerate().map(|(i, &db)| (100.0 * 4.0_f64.powi(i as i32), db)).collect();
        let distance = share * scale_length;
        let odd = Pickup { sensing_width, null_depth_db, voicing, ..pickup("bridge", distance, distance * 0.5) };
        let pickups = vec![odd.clone(), Pickup { name: "neck".into(), distance_low: distance * 1.5, ..odd }];
        Guitar { scale_length, strings: strings.collect(), pickups, ..guitar() }
    }
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
