//! Resonance, level, hum, noise, output impedance.

use dryfit_dsp::circuit::{Controls, Loaded, Mna, lower};
use dryfit_dsp::document::{Assembly, Winding};
use dryfit_dsp::engine::loudness::coefficients;
use dryfit_dsp::survey::{Figures, Surveyor, k_weighting};
use dryfit_tests::circuits::{Moved, assembly, at, on_guitar, peak, responses};
use num_complex::Complex64;

fn positions(assembly: &Assembly, controls: &Controls) -> Vec<Figures> {
    Surveyor::new(assembly).unwrap().positions(controls).unwrap()
}

/// Root of the sum of squares of all pickups' exact responses.
fn together(assembly: &Assembly, controls: &Controls, hertz: f64) -> f64 {
    responses(assembly, controls, hertz).iter().map(|response| response.norm_sqr()).sum::<f64>().sqrt()
}

#[test]
fn the_resonance_is_where_the_exact_solver_has_its_peak() {
    let wiring = assembly("five-way-two-tones", "three-single-coils");
    for figures in positions(&wiring, &Controls::default()) {
        let controls = figures.controls;
        let (hertz, top) = peak(1e3, 15e3, |hertz| together(&wiring, &controls, hertz));
        let height_db = 20.0 * (top / together(&wiring, &controls, 120.0)).log10();
        let found = figures.resonance.unwrap();
        // The vertex of a parabola through points 0.035 apart on the scale; the peak is 20 times as wide.
        assert!((found.hertz / hertz - 1.0).abs() < 0.003, "{} against {hertz}", found.hertz);
        assert!((found.height_db - height_db).abs() < 0.05, "{} against {height_db}", found.height_db);
    }
}

#[test]
fn the_edges_of_width_and_bandwidth_are_3_db_down_by_the_exact_solver() {
    let wiring = assembly("five-way-two-tones", "three-single-coils");
    let figures = &positions(&wiring, &Controls::default())[0];
    let level = |hertz: f64| 20.0 * together(&wiring, &figures.controls, hertz).log10();
    // Straight lines between points of the grid: 0.05 dB where the curve falls some 1.5 dB a point.
    assert!((level(figures.bandwidth) - level(120.0) + 3.0103).abs() < 0.05);
    let resonance = figures.resonance.unwrap();
    let edge = level(resonance.hertz) - 3.0103;
    let above =
        (0..).map(|i| resonance.hertz * (1.0 + 0.001 * f64::from(i))).find(|&hertz| level(hertz) < edge).unwrap();
    let below =
        (0..).map(|i| resonance.hertz * (1.0 - 0.001 * f64::from(i))).find(|&hertz| level(hertz) < edge).unwrap();
    let width = resonance.width.unwrap();
    assert!((width / (above - below) - 1.0).abs() < 0.02, "{width} against {}", above - below);
}

#[test]
fn a_tone_at_0_has_its_low_resonance_and_little_bandwidth() {
    // Trade: a 47n tone capacitor at 0 resonates with the coil near 1 / (2 pi sqrt(2.6 H x 47n)) = 455 Hz, textbook.
    let wiring = assembly("five-way-master-tone", "three-single-coils");
    let figures = &positions(&wiring, &Controls::default().knob(&wiring, "tone", 0.0))[0];
    let hertz = figures.resonance.unwrap().hertz;
    assert!((350.0..500.0).contains(&hertz), "{hertz}");
    assert!(figures.bandwidth < 1e3, "{}", figures.bandwidth);
}

/// The figures are those of the same controls asked for by themselves; only the level has another yardstick: position 1 as it stood,
/// not with that knob turned. So with a tone for all the two levels differ by what the tone takes from position 1.
#[test]
fn a_knob_turned_down_is_surveyed_as_if_set_and_its_level_is_against_position_1_as_it_stood() {
    let wiring = assembly("five-way-master-tone", "three-single-coils");
    let mut surveyor = Surveyor::new(&wiring).unwrap();
    let turned = surveyor.turned(&Controls::default()).unwrap();
    let places: Vec<u8> = turned.iter().map(|turned| turned.figures.controls.position).collect();
    assert_eq!(places, [1, 2, 3, 4, 5]);
    let taken = turned[0].figures.level_db;
    assert!(taken < -1.0, "the tone takes {taken} dB");
    for turned in &turned {
        let set = surveyor.figures(&at(turned.figures.controls.position).knob(&wiring, "tone", 0.0)).unwrap();
        assert!((turned.figures.level_db - taken - set.level_db).abs() < 1e-9);
        assert_eq!(Figures { level_db: set.level_db, ..turned.figures.clone() }, set);
    }
    let tone_at_0 = Controls::default().knob(&wiring, "tone", 0.0);
    assert!(surveyor.turned(&tone_at_0).unwrap().is_empty(), "what stands on 0 is not turned there again");
}

#[test]
fn level_is_against_position_1_and_a_series_pair_is_louder_than_a_parallel_one() {
    let wiring = assembly("two-pickups-series", "two-single-coils");
    let figures = positions(&wiring, &Controls::default());
    assert_eq!(figures[0].level_db, 0.0);
    // Two coils in series give about twice the voltage of the same two in parallel: 6 dB (textbook), less what the pots take.
    let step = figures[3].level_db - figures[1].level_db;
    assert!((3.0..6.5).contains(&step), "{step}");
}

#[test]
fn two_opposite_windings_leave_no_hum_and_two_alike_leave_all() {
    let mut guitar = assembly("five-way-two-tones", "three-single-coils").guitar;
    guitar.pickups[1] = dryfit_dsp::document::Pickup { name: "middle".into(), ..guitar.pickups[0].clone() };
    let hum = |winding: Winding| {
        let mut guitar = guitar.clone();
        guitar.pickups[1].winding = winding;
        // Position 2 with the middle tone, which loads both alike: they are in parallel.
        positions(&on_guitar("five-way-two-tones", &guitar), &Controls::default())[1].hum_left_db
    };
    // Equal voltages of opposite sign cancel to rounding (textbook); -120 dB is the least that is told.
    assert_eq!(hum(Winding::CounterClockwise), [-120.0; 2]);
    assert!(hum(Winding::Clockwise).iter().all(|left| left.abs() < 1e-9));
}

#[test]
fn reversing_leads_cancels_hum_of_pickups_that_are_wound_alike() {
    let wiring = assembly("five-way-middle-reversed", "three-single-coils");
    let up = Controls::default().switch(&wiring, "middle reversed", 2);
    let left = positions(&wiring, &up)[1].hum_left_db;
    assert!(left.iter().all(|&left| left < -15.0), "{left:?}");
    let down = positions(&wiring, &Controls::default())[1].hum_left_db;
    assert!(down.iter().all(|&left| left > -0.1), "{down:?}");
}

#[test]
fn noise_is_the_integral_of_4ktr_over_the_exact_impedance() {
    let wiring = assembly("five-way-two-tones", "three-single-coils");
    let figures = &positions(&wiring, &Controls::default())[0];
    let lowered = lower(&wiring, &figures.controls, Loaded::Yes);
    let mna = Mna::new(&lowered.netlist);
    // Johnson and Nyquist: sqrt(4 k T R); k = 1.380649e-23 J/K exactly (SI of 2019), 293.15 K.
    let density = |hertz: f64| 4.0 * 1.380_649e-23 * 293.15 * mna.impedance(lowered.jack, hertz).unwrap().re;
    let step = 10.0;
    let power: f64 = (2..2000).map(|i| density(step * (f64::from(i) + 0.5)) * step).sum();
    // The survey's trapezoids end at the last point of its grid below 20 kHz, at most one step of 3.5 % below it.
    let ratio = figures.noise / power.sqrt();
    assert!((0.985..1.002).contains(&ratio), "{ratio}");
}

#[test]
fn output_impedance_is_that_without_the_load() {
    let wiring = assembly("five-way-neck-blend", "three-single-coils");
    for load in [(500e-12, 1e6), (2e-9, 50e3)] {
        let figures = &positions(&wiring, &Controls::default().load(load.0, load.1))[3];
        let lowered = lower(&wiring, &at(4), Loaded::No);
        let exact: Complex64 = Mna::new(&lowered.netlist).impedance(lowered.jack, 1e3).unwrap();
        // Between two points of the grid, 3.5 % apart, the impedance is nearly straight.
        assert!((figures.output_impedance / exact.norm() - 1.0).abs() < 1e-3);
    }
}

#[test]
fn the_weighting_curve_is_that_of_the_standards_filters() {
    for hertz in [30.0, 60.0, 100.0, 500.0, 1e3, 1.5e3, 2e3, 3e3, 5e3, 1e4] {
        let z = Complex64::from_polar(1.0, -std::f64::consts::TAU * hertz / 48e3);
        let response = |c: &biquad::Coefficients<f64>| {
            ((c.b0 + c.b1 * z + c.b2 * z * z) / (1.0 + c.a1 * z + c.a2 * z * z)).norm_sqr()
        };
        let standard: f64 = coefficients(48e3).iter().map(response).product();
        let off_db = 10.0 * (k_weighting(hertz) / standard).log10();
        // The bilinear transform at 48 kHz bends the shelf by so much.
        assert!(off_db.abs() < 0.1, "{hertz} Hz: {off_db} dB");
    }
}

#[test]
fn a_silent_position_has_no_level_and_no_resonance() {
    let wiring = assembly("five-way-two-tones", "three-single-coils");
    let figures = &positions(&wiring, &Controls::default().knob(&wiring, "volume", 0.0))[2];
    // A volume at 0 leaves 1 ohm: -80 dB or less, but not nothing, and the level is against position 1 which is as low.
    assert!(figures.level_db.abs() < 6.0);
    assert!(figures.noise < 1e-7, "{}", figures.noise);
}
