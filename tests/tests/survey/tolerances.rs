//! Many guitars built from one document.

use dryfit_dsp::circuit::Controls;
use dryfit_dsp::document::{AssembledKind, Assembly};
use dryfit_dsp::survey::{Surveyor, Tolerances, tolerances};
use dryfit_tests::circuits::{Moved, assembly};

const FEW: Tolerances = Tolerances { trials: 40, seed: 7 };

fn wiring() -> Assembly {
    assembly("five-way-master-tone", "three-single-coils")
}

#[test]
fn the_same_seed_builds_the_same_guitars_and_another_seed_others() {
    let controls = Controls::default();
    let spread = |seed| tolerances(&wiring(), &controls, &Tolerances { trials: 10, seed }).unwrap();
    assert_eq!(spread(7), spread(7));
    assert_ne!(spread(7), spread(8));
}

#[test]
fn without_tolerances_nothing_is_spread() {
    let mut exact = wiring();
    for part in &mut exact.parts {
        match &mut part.kind {
            AssembledKind::Pot { pot, .. } => pot.tolerance = 0.0,
            AssembledKind::Capacitor { tolerance, .. } => *tolerance = 0.0,
            _ => {}
        }
    }
    let spread = &tolerances(&exact, &Controls::default(), &FEW).unwrap()[1];
    for band in [spread.bandwidth, spread.level_db, spread.noise, spread.dc, spread.output_impedance] {
        assert_eq!((band.low, band.high), (band.nominal, band.nominal));
    }
}

#[test]
fn every_figure_of_the_document_lies_within_its_band() {
    let controls = Controls::default();
    let figures = Surveyor::new(&wiring()).unwrap().positions(&controls).unwrap();
    for (figures, spread) in figures.iter().zip(tolerances(&wiring(), &controls, &FEW).unwrap()) {
        let resonance = spread.resonance.unwrap();
        assert_eq!(resonance.nominal, figures.resonance.unwrap().hertz);
        for band in
            [resonance, spread.height_db.unwrap(), spread.bandwidth, spread.noise, spread.dc, spread.loudness_db]
        {
            assert!(band.low < band.nominal && band.nominal < band.high, "{band:?}");
        }
        // Pots alone move the reading; the band of the meter readings has the pickups in it as well.
        assert!(spread.dc.low > figures.dc.low && spread.dc.high < figures.dc.high);
    }
}

#[test]
fn a_tone_at_0_is_spread_by_its_capacitor_alone() {
    // The peak of a series circuit of R and L into C is at w^2 = 1/LC - R^2/2L^2 (textbook), so dw/w = -1/2 dC/C / (1 - R^2 C/2L).
    // An even draw within 10 % leaves 9 % at the 5th and 95th percentile; forty guitars give these to a fifth or so.
    let wiring = wiring();
    let controls = Controls::default().knob(&wiring, "tone", 0.0);
    let resonance = tolerances(&wiring, &controls, &FEW).unwrap()[0].resonance.unwrap();
    let coil = &wiring.guitar.pickups[0].coil;
    let capacitance = 47e-9 + controls.load.cable + coil.capacitance;
    let damping = 1.0 - coil.resistance.powi(2) * capacitance / (2.0 * coil.inductance);
    for band in [resonance.nominal - resonance.low, resonance.high - resonance.nominal] {
        let share = band / resonance.nominal / (0.5 * 0.09 / damping);
        assert!((0.75..1.25).contains(&share), "{share}");
    }
}
