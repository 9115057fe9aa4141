//! Inductance and capacitance from two resonances.

use dryfit_dsp::calibration::{LoadedResonance, ResonanceError, damped, inductance_and_capacitance};
use dryfit_dsp::circuit::{Controls, Load, Loaded, Mna, lower};
use dryfit_dsp::document::Library;
use dryfit_tests::circuits::on_guitar;

fn at(capacitance: f64, hertz: f64) -> LoadedResonance {
    LoadedResonance { capacitance, hertz }
}

/// A textbook's problem (solved problems of circuit theory, resonance, at gradestack.com): a coil resonates at 2 MHz with 18 pF across
/// it and at 1 MHz with 81 pF. Its answer: 3 pF; L = 1 / ((2 pi 2 MHz)^2 21 pF) = 301.6 uH by hand.
#[test]
fn a_textbooks_coil_has_3_pf_of_its_own() {
    let found = inductance_and_capacitance(at(18e-12, 2e6), at(81e-12, 1e6)).unwrap();
    assert!((found.capacitance - 3e-12).abs() < 1e-17, "{found:?}");
    assert!((found.inductance - 301.6e-6).abs() < 0.05e-6, "{found:?}");
}

#[test]
fn the_order_of_the_two_does_not_matter() {
    let (one, other) = (at(18e-12, 2e6), at(81e-12, 1e6));
    assert_eq!(inductance_and_capacitance(one, other), inductance_and_capacitance(other, one));
}

#[test]
fn resonances_that_belong_to_no_coil_are_refused_with_the_reason() {
    let refused = |one, other| inductance_and_capacitance(one, other).unwrap_err();
    assert_eq!(refused(at(1e-9, 3e3), at(1e-9, 2e3)), ResonanceError::SameLoad);
    assert!(matches!(refused(at(1e-9, 3e3), at(2e-9, 3.1e3)), ResonanceError::NotLower { .. }));
    // With nothing across the winding itself the larger capacitor could at most halve the square of the frequency.
    assert!(matches!(refused(at(1e-9, 3e3), at(2e-9, 2e3)), ResonanceError::NoCapacitance { .. }));
}

/// The other route is the nodal solver, which agrees with ngspice (`circuit_ngspice.rs`): it is asked where the voltage across each
/// preset pickup peaks, read to 0.1 Hz, and the coil is found again. The closed form alone is off by what losses do.
#[test]
fn the_coil_behind_the_solvers_resonances_is_found_again() {
    let (input, loads) = (1e6, [570e-12, 2300e-12]);
    let guitar = Library::presets().guitar("three-single-coils").unwrap();
    let assembly = on_guitar("three-pickups-direct", &guitar);
    for (index, pickup) in guitar.pickups.iter().enumerate() {
        let measured = loads.map(|cable| {
            let position = [1, 2, 3][index];
            let controls = Controls { position, load: Load { cable, input }, ..Controls::default() };
            let lowered = lower(&assembly, &controls, Loaded::Yes);
            let mna = Mna::new(&lowered.netlist);
            let level = |hertz: f64| mna.transfer(lowered.jack, hertz).unwrap()[index].norm();
            let tenths = (5_000..80_000).map(|tenth| f64::from(tenth) / 10.0);
            let best = tenths.map(|hertz| (level(hertz), hertz)).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
            at(cable, best.1)
        });
        let found = damped(measured[0], measured[1], &pickup.coil, input).unwrap();
        let off = [found.inductance / pickup.coil.inductance, found.capacitance / pickup.coil.capacitance];
        // 0.1 Hz of 4 kHz is 5e-5 of the square; the capacitance is a small difference of large ones, ten times as sensitive.
        assert!((off[0] - 1.0).abs() < 2e-4 && (off[1] - 1.0).abs() < 2e-3, "{}: {off:?}", pickup.name);
        let naive = inductance_and_capacitance(measured[0], measured[1]).unwrap();
        assert!((naive.inductance / pickup.coil.inductance - 1.0).abs() < 0.1, "{naive:?}");
    }
}
