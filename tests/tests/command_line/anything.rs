//! Whatever is thrown at settings and at the rendering, there is no panic and no number that is none.

use dryfit_bundler::rendering;
use dryfit_dsp::circuit::{Controls, settings};
use dryfit_dsp::conversion::{Conversion, Grid, Recorded};
use dryfit_dsp::document::{Assembly, DocumentKind, Library};
use proptest::prelude::*;

fn assembly(wiring: &str) -> Assembly {
    let library = Library::presets();
    let guitar = library.guitar("three-single-coils").unwrap();
    Assembly::new(&library.wiring(wiring).unwrap(), &guitar, &library).unwrap()
}

/// Settings that are nearly right, and such that are not.
fn setting() -> impl Strategy<Value = String> {
    let keys =
        ["volume", "neck-tone", "neck tone", "tone-cap", "position", "cable", "input", "neck-on", "neck", "jack", ""];
    let key = prop_oneof![3 => prop::sample::select(keys.to_vec()).prop_map(String::from), 1 => ".{0,12}"];
    let value = prop_oneof![
        "-?[0-9]{0,4}(\\.[0-9]{0,3})?",
        "[0-9]{1,3}[pnukMG]?[0-9]?",
        "nan|inf|-inf|1e999|up|down|7",
        ".{0,12}"
    ];
    prop_oneof![9 => (key, value).prop_map(|(key, value)| format!("{key}={value}")), 1 => ".{0,20}"]
}

/// Samples of every kind: ordinary, huge, tiny, denormal, and what is no number.
fn samples() -> impl Strategy<Value = Vec<f32>> {
    let ordinary = -1.0_f32..1.0;
    let any = prop::num::f32::ANY;
    let special = prop::sample::select(vec![
        f32::NAN,
        f32::INFINITY,
        f32::NEG_INFINITY,
        f32::MAX,
        f32::MIN_POSITIVE,
        f32::from_bits(1),
        -0.0,
        1e6,
        1e-15,
    ]);
    prop::collection::vec(prop_oneof![6 => ordinary, 2 => any, 1 => special], 0..3000)
}

fn controls() -> impl Strategy<Value = Controls> {
    let knobs = prop::array::uniform6(0.0..=10.0_f64);
    (1..=5_u8, knobs, 1..=2_u8).prop_map(|(position, knobs, switch)| {
        let mut controls = Controls { position, knobs, ..Controls::default() };
        controls.switches[0] = switch;
        controls
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn settings_never_panic_and_what_they_accept_is_a_place_that_there_is(all in prop::collection::vec(setting(), 0..5)) {
        let mut wiring = assembly("five-way-neck-on");
        let mut controls = Controls::default();
        let errors = settings::apply(&all, &mut wiring, &mut controls).err().unwrap_or_default();
        for error in errors {
            prop_assert!(all.contains(&error.setting) && !error.what.is_empty() && !error.mend.is_empty());
        }
        prop_assert!((1..=5).contains(&controls.position) && (1..=2).contains(&controls.switches[0]));
        prop_assert!(controls.knobs.iter().all(|knob| (0.0..=10.0).contains(knob)));
        prop_assert!(controls.load.cable.is_finite() && controls.load.input > 0.0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_samples_through_any_wiring_stay_finite(
        take in samples(),
        wiring in prop::sample::select(Library::presets().names(DocumentKind::Wiring).map(String::from).collect::<Vec<_>>()),
        mut controls in controls(),
        rate in prop::sample::select(vec![8_000_u32, 44_100, 48_000, 192_000]),
    ) {
        let grid = Grid::up_to(f64::from(rate) / 2.0);
        let recorded = Recorded::new(&assembly("five-way-two-tones"), &Controls::default(), &grid).unwrap();
        let option = assembly(&wiring);
        controls.position = controls.position.min(option.controls.positions);
        let conversion = Conversion::new(&recorded, &option).unwrap();
        let heard = rendering::render(&take, rate, conversion, &controls, |_| {});
        prop_assert_eq!(heard.len(), take.len());
        prop_assert!(heard.iter().all(|sample| sample.is_finite()));
    }
}
