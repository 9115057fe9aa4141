//! The circuit solver, read as a course: dividers, first and second order, bridges, coupled coils, noise, DC, what has
//! no answer; then one single coil worked through by hand.
//!
//! Where no source is named beside a figure, it follows from Ohm's and Kirchhoff's laws in the lines above it.
//! Tolerances: f64 leaves some 1e-15 per operation and a solve has a few hundred of them, so exact results are held to
//! 1e-12 of their size; results given as decimals are held to half a unit of their last digit.

use std::f64::consts::{SQRT_2, TAU};

use dryfit_dsp::circuit::{
    CircuitError, Controls, ElementKind, Load, Mna, Netlist, Node, dc_resistance, noise_density,
};
use dryfit_dsp::document::{Assembly, Guitar, Library, Wiring};
use dryfit_dsp::units::amplitude_to_db;
use dryfit_tests::circuits;
use num_complex::Complex64;

/// Rounding of one solve, relative.
const ROUNDING: f64 = 1e-12;

/// A netlist that is written as it is drawn.
#[derive(Default)]
struct Bench(Netlist);

impl Bench {
    fn add(&mut self, name: &str, a: &str, b: &str, kind: ElementKind) -> usize {
        let (a, b) = (self.0.node(a), self.0.node(b));
        self.0.add(name, a, b, kind)
    }

    fn source(&mut self, a: &str) {
        self.add("source", a, "ground", ElementKind::Source(0));
    }

    fn resistor(&mut self, a: &str, b: &str, ohms: f64) {
        self.add(&format!("R {a} {b}"), a, b, ElementKind::Resistor(ohms));
    }

    fn capacitor(&mut self, a: &str, b: &str, farads: f64) {
        self.add(&format!("C {a} {b}"), a, b, ElementKind::Capacitor(farads));
    }

    fn inductor(&mut self, a: &str, b: &str, henries: f64) -> usize {
        self.add(&format!("L {a} {b}"), a, b, ElementKind::Inductor(henries))
    }

    fn existing(&self, node: &str) -> Node {
        self.0.nodes().iter().position(|name| name == node).unwrap()
    }

    /// Voltage at a node for 1 V of the source.
    fn transfer(&self, node: &str, hertz: f64) -> Complex64 {
        Mna::new(&self.0).transfer(self.existing(node), hertz).unwrap()[0]
    }

    fn impedance(&self, node: &str, hertz: f64) -> Complex64 {
        Mna::new(&self.0).impedance(self.existing(node), hertz).unwrap()
    }

    fn dc(&self, node: &str) -> f64 {
        dc_resistance(&self.0, self.existing(node)).unwrap()
    }
}

#[track_caller]
fn assert_near(measured: f64, wanted: f64, tolerance: f64) {
    assert!((measured - wanted).abs() <= tolerance, "{measured} is not {wanted} within {tolerance:e}");
}

// Dividers

#[test]
fn two_equal_resistors_halve_a_voltage_at_every_frequency() {
    let mut bench = Bench::default();
    bench.source("in");
    bench.resistor("in", "out", 50e3);
    bench.resistor("out", "ground", 50e3);
    for hertz in [0.0, 20.0, 1e3, 20e3] {
        let half = bench.transfer("out", hertz);
        assert_near(half.re, 0.5, ROUNDING);
        assert_near(half.im, 0.0, ROUNDING);
    }
}

#[test]
fn a_loaded_divider_of_50k_and_50k_gives_4_v_of_10_into_100k() {
    // 50k across 100k is 33.333k; 10 V x 33.333 / (50 + 33.333) = 4.000 V.
    let mut bench = Bench::default();
    bench.source("in");
    bench.resistor("in", "out", 50e3);
    bench.resistor("out", "ground", 50e3);
    bench.resistor("out", "ground", 100e3);
    assert_near(10.0 * bench.transfer("out", 100.0).re, 4.0, 10.0 * ROUNDING);
    // Thevenin: what the load sees is the divider's two halves side by side.
    let mut alone = Bench::default();
    alone.source("in");
    alone.resistor("in", "out", 50e3);
    alone.resistor("out", "ground", 50e3);
    assert_near(alone.impedance("out", 100.0).re, 25e3, 25e3 * ROUNDING);
}

#[test]
fn two_sources_add_as_each_gives_alone() {
    // Superposition: 1k from each of two sources, 1k to ground; a third of each.
    let mut bench = Bench::default();
    bench.source("left");
    bench.add("other", "right", "ground", ElementKind::Source(1));
    bench.resistor("left", "out", 1e3);
    bench.resistor("right", "out", 1e3);
    bench.resistor("out", "ground", 1e3);
    let responses = Mna::new(&bench.0).transfer(bench.existing("out"), 440.0).unwrap();
    assert_eq!(responses.len(), 2);
    for response in responses {
        assert_near(response.re, 1.0 / 3.0, ROUNDING);
    }
}

// First and second order

#[test]
fn an_rc_low_pass_is_3_db_down_and_45_degrees_late_at_its_corner() {
    let (ohms, farads) = (10e3, 10e-9);
    let mut bench = Bench::default();
    bench.source("in");
    bench.resistor("in", "out", ohms);
    bench.capacitor("out", "ground", farads);
    let corner = 1.0 / (TAU * ohms * farads);
    let response = bench.transfer("out", corner);
    assert_near(response.norm(), 1.0 / SQRT_2, ROUNDING);
    assert_near(response.arg().to_degrees(), -45.0, 45.0 * ROUNDING);
    // Far above it falls by 20 dB a decade: (1 + 1e4) / (1 + 1e6) in power between 100 and 1000 corners, up to 0.0005 dB.
    let decade = bench.transfer("out", 1000.0 * corner).norm() / bench.transfer("out", 100.0 * corner).norm();
    assert_near(amplitude_to_db(decade), -20.0, 5e-4);
}

#[test]
fn a_series_rlc_resonates_where_coil_and_capacitor_cancel_and_multiplies_the_voltage_by_q() {
    let (ohms, henries, farads) = (5.7e3, 2.2, 470e-12);
    let mut bench = Bench::default();
    bench.source("in");
    bench.inductor("in", "middle", henries);
    bench.capacitor("middle", "out", farads);
    bench.resistor("out", "ground", ohms);
    let resonance = 1.0 / (TAU * (henries * farads).sqrt());
    let response = bench.transfer("out", resonance);
    // Cancelling takes digits: both reactances are Q = 12 times the resistance.
    let q = (henries / farads).sqrt() / ohms;
    assert_near((response - 1.0).norm(), 0.0, 100.0 * q * ROUNDING);
    let over_capacitor = bench.transfer("middle", resonance) - response;
    assert_near(over_capacitor.norm(), q, 100.0 * q * ROUNDING);
    // Half-power points lie where the net reactance is the resistance, R / (2 pi L) apart.
    let half = ohms / (2.0 * henries) / TAU;
    let (low, high) =
        ((half * half + resonance * resonance).sqrt() - half, (half * half + resonance * resonance).sqrt() + half);
    for hertz in [low, high] {
        assert_near(bench.transfer("out", hertz).norm(), 1.0 / SQRT_2, 100.0 * q * ROUNDING);
    }
    assert_near(high - low, 412.36, 5e-3);
}

#[test]
fn a_twin_t_of_10k_and_10n_has_its_null_at_1591_549_hz() {
    // R, R with 2C from their middle; C, C with R/2 from theirs: H = (1 - u^2) / (1 - u^2 + 4ju), u = 2 pi f R C.
    let (ohms, farads) = (10e3, 10e-9);
    let mut bench = Bench::default();
    bench.source("in");
    bench.resistor("in", "low", ohms);
    bench.resistor("low", "out", ohms);
    bench.capacitor("low", "ground", 2.0 * farads);
    bench.capacitor("in", "high", farads);
    bench.capacitor("high", "out", farads);
    bench.resistor("high", "ground", ohms / 2.0);
    let null = 1.0 / (TAU * ohms * farads);
    assert_near(null, 1591.549, 5e-4);
    assert!(bench.transfer("out", null).norm() < ROUNDING);
    // Off the null by 0.1 % each way it is up again at 2 x 0.001 / 4; so the null is no dead output.
    for hertz in [null / 2.0, 0.999 * null, 1.001 * null, 10.0 * null] {
        let u = hertz / null;
        let wanted = Complex64::from(1.0 - u * u) / Complex64::new(1.0 - u * u, 4.0 * u);
        assert!((bench.transfer("out", hertz) - wanted).norm() < ROUNDING);
    }
}

// Coupled coils

#[test]
fn two_coils_of_2_2_h_with_a_coupling_of_0_1_make_4_84_h_aiding_and_3_96_h_opposing() {
    // L1 + L2 +- 2M with M = 0.1 x 2.2 H (coupled coils in series, any circuits text).
    for (coefficient, wanted) in [(0.1, 4.84), (0.0, 4.4), (-0.1, 3.96)] {
        let mut bench = Bench::default();
        let first = bench.inductor("top", "middle", 2.2);
        let second = bench.inductor("middle", "ground", 2.2);
        bench.0.couple("k", first, second, coefficient).unwrap();
        for hertz in [50.0, 1e3, 10e3] {
            let impedance = bench.impedance("top", hertz);
            assert_near(impedance.im / (TAU * hertz), wanted, wanted * ROUNDING);
            assert_near(impedance.re / impedance.im, 0.0, ROUNDING);
        }
    }
}

#[test]
fn an_open_coil_beside_a_driven_one_shows_k_times_the_root_of_the_inductances() {
    // A transformer without load: V2 / V1 = M / L1 = k sqrt(L2 / L1).
    let mut bench = Bench::default();
    bench.source("in");
    let first = bench.inductor("in", "ground", 2.0);
    let second = bench.inductor("out", "ground", 8.0);
    bench.0.couple("k", first, second, 0.25).unwrap();
    bench.resistor("out", "ground", 1e15);
    let response = bench.transfer("out", 1e3);
    assert_near(response.re, 0.5, 0.5 * 1e-9); // the resistor of 1e15 ohm takes 5e-11
}

#[test]
fn a_coupling_of_1_or_more_or_with_something_else_than_a_coil_is_refused_by_name() {
    let mut bench = Bench::default();
    let first = bench.inductor("a", "ground", 2.0);
    let second = bench.inductor("b", "ground", 2.0);
    bench.resistor("a", "b", 1e3);
    for coefficient in [1.0, -1.5, f64::NAN] {
        let error = bench.0.couple("pair", first, second, coefficient).unwrap_err();
        assert!(error.to_string().contains("`pair`"), "{error}");
    }
    let error = bench.0.couple("pair", first, first, 0.1).unwrap_err();
    assert!(matches!(error, CircuitError::Coupling { .. }), "{error}");
    assert_eq!(bench.0.couple("pair", first, 2, 0.1), Err(CircuitError::NoInductor { name: "pair".into() }));
}

// Noise

#[test]
fn a_resistor_of_1k_at_300_k_makes_4_0704_nv_per_root_hertz() {
    // Johnson, Nyquist (Phys. Rev. 32, 1928): sqrt(4 x 1.380649e-23 J/K x 300 K x 1000 ohm).
    let mut bench = Bench::default();
    bench.resistor("out", "ground", 1e3);
    let density = noise_density(bench.impedance("out", 1e3).re, 300.0);
    assert_near(density * 1e9, 4.0704, 5e-5);
}

#[test]
fn the_noise_of_a_resistor_with_a_capacitor_across_it_is_k_t_over_c_whatever_the_resistor() {
    // Integral of 4kT R / (1 + (w R C)^2) over all frequencies = kT / C; 1 nF at 300 K: 2.0352 uV rms.
    for ohms in [1e3, 250e3] {
        let mut bench = Bench::default();
        bench.resistor("out", "ground", ohms);
        bench.capacitor("out", "ground", 1e-9);
        // With f = fc tan(angle) the integrand is flat, so a mid-point sum of few points is exact.
        let corner = 1.0 / (TAU * ohms * 1e-9);
        let points = 64;
        let step = std::f64::consts::FRAC_PI_2 / f64::from(points);
        let power: f64 = (0..points)
            .map(|i| {
                let angle = (f64::from(i) + 0.5) * step;
                let density = noise_density(bench.impedance("out", corner * angle.tan()).re, 300.0);
                density * density * corner * step / angle.cos().powi(2)
            })
            .sum();
        assert_near(power.sqrt() * 1e6, 2.0352, 5e-5);
    }
}

// Direct current

#[test]
fn a_meter_reads_resistors_in_series_and_in_parallel() {
    let mut bench = Bench::default();
    bench.resistor("tip", "a", 1e3);
    bench.resistor("a", "ground", 3e3);
    bench.resistor("a", "ground", 6e3);
    assert_near(bench.dc("tip"), 3e3, 3e3 * ROUNDING); // 1k + (3k across 6k = 2k)
}

#[test]
fn a_meter_reads_five_sixths_of_a_resistor_across_a_cube_of_twelve() {
    // The body diagonal of a cube of 1 ohm edges: 1/3 + 1/6 + 1/3 (by symmetry; a classic of the textbooks).
    let mut bench = Bench::default();
    let name = |corner: u8| if corner == 0 { "ground".to_string() } else { format!("corner {corner}") };
    for corner in 0u8..8 {
        for axis in [1, 2, 4] {
            if corner & axis == 0 {
                bench.resistor(&name(corner), &name(corner | axis), 1.0);
            }
        }
    }
    assert_near(bench.dc("corner 7"), 5.0 / 6.0, ROUNDING);
}

#[test]
fn a_meter_sees_through_a_coil_and_not_through_a_capacitor() {
    let mut bench = Bench::default();
    bench.resistor("tip", "a", 5.7e3);
    bench.inductor("a", "ground", 2.2);
    bench.resistor("tip", "b", 250e3);
    bench.capacitor("b", "ground", 22e-9);
    assert_near(bench.dc("tip"), 5.7e3, 5.7e3 * ROUNDING);
    let mut blocked = Bench::default();
    blocked.resistor("tip", "b", 250e3);
    blocked.capacitor("b", "ground", 22e-9);
    assert_eq!(blocked.dc("tip"), f64::INFINITY);
    assert_eq!(dc_resistance(&blocked.0, Netlist::GROUND), Ok(0.0));
}

#[test]
fn a_meter_takes_an_emf_for_a_wire() {
    let mut bench = Bench::default();
    bench.resistor("tip", "emf", 6.4e3);
    bench.source("emf");
    assert_near(bench.dc("tip"), 6.4e3, 6.4e3 * ROUNDING);
}

// What has no answer

#[test]
fn an_island_that_nothing_ties_to_ground_does_not_disturb_the_rest() {
    let mut alone = Bench::default();
    alone.source("in");
    alone.resistor("in", "out", 5.7e3);
    alone.capacitor("out", "ground", 610e-12);
    let mut beside = Bench(alone.0.clone());
    beside.inductor("x", "y", 2.2);
    beside.resistor("y", "z", 5.8e3);
    beside.add("other", "z", "w", ElementKind::Source(1));
    beside.capacitor("x", "w", 110e-12);
    for hertz in [0.01, 20.0, 4e3, 20e3] {
        let (wanted, disturbed) = (alone.transfer("out", hertz), beside.transfer("out", hertz));
        assert!((wanted - disturbed).norm() < ROUNDING, "{wanted} {disturbed}");
        let (wanted, disturbed) = (alone.impedance("out", hertz), beside.impedance("out", hertz));
        assert!((wanted - disturbed).norm() < ROUNDING * wanted.norm());
        let island = Mna::new(&beside.0).transfer(beside.existing("out"), hertz).unwrap()[1];
        assert!(island.norm() < ROUNDING, "the island is heard: {island}");
    }
    assert_eq!(beside.dc("x"), f64::INFINITY);
}

#[test]
fn a_node_that_only_capacitors_hold_is_named_when_direct_current_is_asked_of_it() {
    let mut bench = Bench::default();
    bench.source("in");
    bench.capacitor("in", "between", 1e-9);
    bench.capacitor("between", "ground", 1e-9);
    let error = Mna::new(&bench.0).transfer(bench.existing("between"), 0.0).unwrap_err();
    assert_eq!(error, CircuitError::Singular { node: "between".into(), hertz: 0.0 });
    assert!(error.to_string().contains("`between`"), "{error}");
    assert_near(bench.transfer("between", 1e3).re, 0.5, ROUNDING); // at 1 kHz it is an ordinary divider
}

#[test]
fn direct_current_has_no_answer_between_two_capacitors_whatever_resistor_lies_there() {
    // The resistor's conductance cancels in the elimination, but not to exactly 0 for every value.
    for kilohms in 1..=200 {
        let mut bench = Bench::default();
        bench.source("in");
        bench.capacitor("in", "a", 1e-9);
        bench.resistor("a", "b", 1.37e3 * f64::from(kilohms));
        bench.capacitor("b", "ground", 1e-9);
        let error = Mna::new(&bench.0).transfer(bench.existing("a"), 0.0).unwrap_err();
        assert!(matches!(&error, CircuitError::Singular { node, .. } if node == "a" || node == "b"), "{error}");
    }
}

#[test]
fn two_emfs_across_the_same_nodes_are_explained_by_name() {
    let mut bench = Bench::default();
    bench.source("hot");
    bench.add("neck-source", "hot", "ground", ElementKind::Source(1));
    bench.resistor("hot", "ground", 250e3);
    let error = Mna::new(&bench.0).transfer(bench.existing("hot"), 1e3).unwrap_err();
    let text = error.to_string();
    let named = ["`hot`", "`source`", "`neck-source`"].into_iter().any(|name| text.contains(name));
    assert!(named && text.contains("no single solution"), "{text}");
}

// One single coil, worked through by hand

/// 2.2 H, 5.7k, 610 pF in all, volume 250k at 10, tone 250k + 22n at 10, 1M input: H = 1 / (1 + (R + jwL) Y) with
/// Y = 1/250k + 1/1M + 1/(250k + 1/(jw 22n)) + jw 610p.
///
/// At 10 kHz: w = 62831.85; R + jwL = 5700 + j138230; the tone is 250000 - j723.4, or 4.0000e-6 + j1.16e-8 S;
/// Y = 9.0000e-6 + j3.83389e-5 S; the product is (0.0513 - 5.2996) + j(0.2185 + 1.2441) = -5.2483 + j1.4626; H is
/// 1 / (-4.2483 + j1.4626), that is 1 / 4.4930 or -13.051 dB.
fn by_hand(hertz: f64) -> Complex64 {
    let s = Complex64::new(0.0, TAU * hertz);
    let coil = 5.7e3 + s * 2.2;
    let tone = 1.0 / (250e3 + 1.0 / (s * 22e-9));
    let load = 1.0 / 250e3 + 1.0 / 1e6 + tone + s * 610e-12;
    1.0 / (1.0 + coil * load)
}

const COIL: &str = r#"
format = 1
title = "One coil"
scale-length = "648 mm"
[[strings]]
pitch = "E4"
gauge = "0.254 mm"
material = "plain-steel"
[pickups.bridge]
distance = ["46 mm", "46 mm"]
sensing-width = "12 mm"
winding = "clockwise"
magnet = "north"
resistance = "5.7k"
inductance = "2.2 H"
capacitance = "110p"
"#;

const WIRING: &str = r#"
format = 1
title = "Volume and tone"
[pots.volume]
value = "250k"
control = "volume"
[pots.tone]
value = "250k"
control = "tone"
[capacitors.tone-cap]
value = "22n"
[wires]
hot = ["bridge.hot", "volume.3", "tone.2"]
tone = ["tone.1", "tone-cap.1"]
jack = ["volume.2", "jack.tip"]
ground = ["volume.1", "tone-cap.2", "bridge.ground", "jack.sleeve"]
"#;

fn one_coil() -> (Assembly, Controls) {
    let guitar = Guitar::read("coil.toml", COIL).unwrap();
    let wiring = Wiring::read("wiring.toml", WIRING).unwrap();
    let assembly = Assembly::new(&wiring, &guitar, &Library::presets()).unwrap();
    let controls = Controls { load: Load { cable: 500e-12, input: 1e6 }, ..Controls::default() };
    (assembly, controls)
}

#[test]
fn the_hand_calculation_of_one_coil_peaks_by_4_165_db_at_4000_3_hz_and_is_13_051_db_down_at_10_khz() {
    let (hertz, peak) = circuits::peak(1e3, 10e3, |hertz| by_hand(hertz).norm());
    assert_near(hertz, 4000.3, 0.05);
    assert_near(amplitude_to_db(peak), 4.165, 5e-4);
    assert_near(amplitude_to_db(by_hand(10e3).norm()), -13.051, 5e-4);
}

#[test]
fn one_coil_from_its_documents_peaks_by_4_165_db_at_4000_3_hz_and_is_13_051_db_down_at_10_khz() {
    let (assembly, controls) = one_coil();
    let (hertz, peak_db) = circuits::peak(1e3, 10e3, |hertz| circuits::level_db(&assembly, &controls, hertz));
    assert_near(hertz, 4000.3, 0.05);
    assert_near(peak_db, 4.165, 5e-4);
    assert_near(circuits::level_db(&assembly, &controls, 10e3), -13.051, 5e-4);
}

#[test]
fn one_coil_from_its_documents_is_the_hand_calculation_at_every_frequency() {
    let (assembly, controls) = one_coil();
    for step in 0..=60 {
        let hertz = 20.0 * 10f64.powf(f64::from(step) / 20.0);
        let (solved, wanted) = (circuits::total(&assembly, &controls, hertz), by_hand(hertz));
        // The documents know a wiper of 1 ohm in series with the cable and the input: at 20 kHz 1 ohm x 2 pi f 500 pF
        // is 6e-5 of a quarter turn, and 1 ohm in 250k is 4e-6.
        assert!((solved / wanted - 1.0).norm() < 1e-4, "{hertz} Hz: {solved} against {wanted}");
    }
}
