use dryfit_dsp::units::{self, Quantity};
use dryfit_plugin::text::{CABLE_PICOFARADS, INPUT_OHMS, decimal, meant, read_step, significant, write_step};
use proptest::prelude::*;

proptest! {
    /// A knob at 3.3 in single precision is the 3.3 of a document, bit for bit.
    #[test]
    fn a_dial_means_its_decimal_number(hundredths in 0u32..=1000) {
        let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
        let document: f64 = text.parse().unwrap();
        prop_assert_eq!(meant(text.parse().unwrap(), 1e4).to_bits(), document.to_bits());
    }

    /// A cable as a document writes it is the same number after a host has kept it in single precision, a few units of the
    /// last place off.
    #[test]
    fn a_load_means_what_a_document_says(picofarads in 10u32..5000, kiloohms in 10u32..10_000, off in -3i32..=3) {
        let nudge = |value: f32| f32::from_bits(value.to_bits().wrapping_add_signed(off));
        let cable = units::parse(&format!("{picofarads}p"), Quantity::Capacitance).unwrap();
        let host = nudge(picofarads as f32);
        prop_assert_eq!((significant(host, CABLE_PICOFARADS) / 1e12).to_bits(), cable.to_bits());
        let input = units::parse(&format!("{kiloohms}k"), Quantity::Resistance).unwrap();
        prop_assert_eq!(significant(nudge(kiloohms as f32 * 1e3), INPUT_OHMS).to_bits(), input.to_bits());
    }

    /// Whatever a host's memory holds, the engine gets a number in range.
    #[test]
    fn no_bits_make_a_load_that_is_none(bits in any::<u32>()) {
        let value = significant(f32::from_bits(bits), CABLE_PICOFARADS);
        prop_assert!((10.0..=5000.0).contains(&value));
        prop_assert!(meant(f32::from_bits(bits), 1e4).is_finite());
    }
}

#[test]
fn numbers_are_written_short() {
    assert_eq!([10.0, 3.3, 7.25, -0.0001, 0.5].map(|value| decimal(value, 2)), ["10", "3.3", "7.25", "0", "0.5"]);
}

#[test]
fn a_tray_step_is_shown_with_its_value_and_typed_by_either() {
    let values = ["10n".to_string(), "22n".into()];
    assert_eq!(write_step(0, &values), "0: own value");
    assert_eq!(write_step(2, &values), "2: 22n");
    assert_eq!(write_step(9, &values), "9: 22n");
    assert_eq!(write_step(1, &[]), "1: empty");
    assert_eq!(
        [read_step("22n", &values), read_step("1", &values), read_step("2: 22n", &values)],
        [Some(2), Some(1), Some(2)]
    );
    assert_eq!(read_step("lots", &values), None);
}
