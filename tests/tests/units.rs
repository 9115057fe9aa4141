//! How quantities are written and read, and which values parts come in.

use dryfit_dsp::units::{
    Quantity, Series, UnitError, amplitude_to_db, db_to_amplitude, nearest_preferred, parse, write,
};
use proptest::prelude::*;

const EVERY: [Quantity; 7] = [
    Quantity::Resistance,
    Quantity::Capacitance,
    Quantity::Inductance,
    Quantity::Length,
    Quantity::Frequency,
    Quantity::Level,
    Quantity::Share,
];

#[track_caller]
fn reads(text: &str, quantity: Quantity, wanted: f64) {
    // Exactly: "47n" is the number that Rust's own 47e-9 is, so that a part's value and a preferred value compare equal.
    assert_eq!(parse(text, quantity), Ok(wanted), "{text}");
}

#[track_caller]
fn refuses(text: &str, quantity: Quantity) -> String {
    parse(text, quantity).expect_err(text).to_string()
}

#[test]
fn values_are_read_as_a_technician_writes_them() {
    reads("250k", Quantity::Resistance, 250e3);
    reads("1M", Quantity::Resistance, 1e6);
    reads("5.7k", Quantity::Resistance, 5.7e3);
    reads("470", Quantity::Resistance, 470.0);
    reads("470 ohm", Quantity::Resistance, 470.0);
    reads("250 kΩ", Quantity::Resistance, 250e3);
    reads("500K", Quantity::Resistance, 500e3);
    reads("47n", Quantity::Capacitance, 47e-9);
    reads("0.047u", Quantity::Capacitance, 47e-9);
    reads("0.022µF", Quantity::Capacitance, 22e-9); // the micro sign, U+00B5
    reads("0.022\u{3bc}F", Quantity::Capacitance, 22e-9); // the Greek letter, U+03BC
    reads("500 pF", Quantity::Capacitance, 500e-12);
    reads("2.4 H", Quantity::Inductance, 2.4);
    reads("950 mH", Quantity::Inductance, 0.95);
    reads("648 mm", Quantity::Length, 0.648);
    reads("64.8 cm", Quantity::Length, 0.648);
    reads("0.010 in", Quantity::Length, 0.010 * 0.0254);
    reads("25.5\"", Quantity::Length, 25.5 * 0.0254);
    reads("3.4 kHz", Quantity::Frequency, 3400.0);
    reads("-14 dB", Quantity::Level, -14.0);
    reads("  20 %  ", Quantity::Share, 0.2);
}

#[test]
fn the_codes_of_iec_60062_are_read() {
    // IEC 60062, "Marking codes for resistors and capacitors", examples of its tables (from memory).
    for (code, ohms) in [
        ("R10", 0.1),
        ("R33", 0.33),
        ("R47", 0.47),
        ("1R0", 1.0),
        ("4R7", 4.7),
        ("59R04", 59.04),
        ("470R", 470.0),
        ("1K0", 1e3),
        ("4K7", 4.7e3),
        ("47K3", 47.3e3),
        ("100K", 100e3),
        ("1M0", 1e6),
        ("4M7", 4.7e6),
        ("1G0", 1e9),
    ] {
        reads(code, Quantity::Resistance, ohms);
    }
    for (code, farads) in [
        ("p10", 0.1e-12),
        ("p59", 0.59e-12),
        ("1p0", 1e-12),
        ("5p9", 5.9e-12),
        ("100p", 100e-12),
        ("1n0", 1e-9),
        ("4n7", 4.7e-9),
        ("22n", 22e-9),
        ("1u5", 1.5e-6),
        ("1µ5", 1.5e-6),
    ] {
        reads(code, Quantity::Capacitance, farads);
    }
}

#[test]
fn a_comma_is_refused_because_it_means_two_things() {
    for (text, quantity) in
        [("4,7k", Quantity::Resistance), ("0,047u", Quantity::Capacitance), ("1,000", Quantity::Resistance)]
    {
        assert_eq!(parse(text, quantity), Err(UnitError::DecimalComma { text: text.into() }));
        assert!(refuses(text, quantity).contains("decimal point"));
    }
}

#[test]
fn an_unknown_unit_is_refused_with_an_example_of_how_to_write_it() {
    for (text, quantity, example) in [
        ("250x", Quantity::Resistance, "250k"),
        ("47 nH", Quantity::Capacitance, "47n"),
        ("2.4 F", Quantity::Inductance, "2.4 H"),
        ("2.4", Quantity::Inductance, "2.4 H"),
        ("47", Quantity::Capacitance, "47n"),
        ("648", Quantity::Length, "648 mm"),
        ("14", Quantity::Level, "dB"),
        ("20", Quantity::Share, "20 %"),
        ("3 kdB", Quantity::Level, "dB"),
    ] {
        let message = refuses(text, quantity);
        assert!(message.contains(example) && message.contains(quantity.name()), "{text}: {message}");
    }
}

#[test]
fn what_is_no_number_is_refused() {
    for text in ["", " ", "k", "large", "-", ".", "e5", "1.2.3k", "--1k", "NaN", "inf", "4k7k", "4k-7", "1e", "½k"] {
        for quantity in EVERY {
            refuses(text, quantity);
        }
    }
}

#[test]
fn a_part_of_0_or_1e30_or_below_0_is_refused_and_told_what_a_guitar_can_have() {
    for text in ["0", "1e30", "-250k", "0.0k", "1e-30", "1e400"] {
        let message = refuses(text, Quantity::Resistance);
        assert!(message.contains(text), "{message}");
        assert!(matches!(parse(text, Quantity::Resistance), Err(UnitError::OutOfRange { .. })), "{text}");
    }
    for text in ["0 F", "1e30 F", "-47n", "1 F"] {
        assert!(matches!(parse(text, Quantity::Capacitance), Err(UnitError::OutOfRange { .. })), "{text}");
    }
    for text in ["0 H", "1e30 H", "-2 H"] {
        assert!(matches!(parse(text, Quantity::Inductance), Err(UnitError::OutOfRange { .. })), "{text}");
    }
    assert!(refuses("0", Quantity::Resistance).contains("1G"), "the range is named");
}

#[test]
fn values_are_written_as_they_are_read() {
    for (text, quantity) in [
        ("250k", Quantity::Resistance),
        ("470", Quantity::Resistance),
        ("1M", Quantity::Resistance),
        ("47n", Quantity::Capacitance),
        ("100n", Quantity::Capacitance),
        ("1.2n", Quantity::Capacitance),
        ("500p", Quantity::Capacitance),
        ("2.4 H", Quantity::Inductance),
        ("648 mm", Quantity::Length),
        ("0.254 mm", Quantity::Length),
        ("3.4 kHz", Quantity::Frequency),
        ("-14 dB", Quantity::Level),
        ("20 %", Quantity::Share),
    ] {
        assert_eq!(write(parse(text, quantity).unwrap(), quantity), text);
    }
    assert_eq!(write(999_999.0, Quantity::Resistance), "1M"); // four digits would be 1000k
}

#[test]
fn ratios_and_levels_are_20_times_the_logarithm() {
    assert!((amplitude_to_db(0.5) + 6.0206).abs() < 5e-5);
    assert!((db_to_amplitude(-20.0) - 0.1).abs() < 1e-15);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn every_value_a_guitar_can_have_comes_back_from_writing_within_its_four_digits(
        which in 0..EVERY.len(), share in 0.0..=1.0f64,
    ) {
        let quantity = EVERY[which];
        let (low, high) = (*quantity.sensible().start(), *quantity.sensible().end());
        // Logarithmic where the range is, so that small values are tried too.
        let value = if low > 0.0 { low * (high / low).powf(share) } else { low + (high - low) * share };
        let value = value.clamp(low, high);
        let text = write(value, quantity);
        let read = parse(&text, quantity);
        // Half a unit of the fourth digit is 5e-4 of a value that begins with 1; levels, shares and lengths have a fixed
        // unit and so up to four digits before the point, but never fewer than nine after it.
        let read = read.unwrap_or_else(|error| panic!("{value} is written {text}: {error}"));
        prop_assert!((read - value).abs() <= 5.001e-4 * value.abs() + 1e-12, "{} -> {} -> {}", value, text, read);
        prop_assert_eq!(write(read, quantity), text);
    }

    #[test]
    fn nothing_that_is_written_makes_the_reader_panic(text in "\\PC*", which in 0..EVERY.len()) {
        if let Ok(value) = parse(&text, EVERY[which]) {
            prop_assert!(EVERY[which].sensible().contains(&value));
        }
    }

    #[test]
    fn numbers_with_odd_ends_do_not_make_the_reader_panic(text in "[0-9.eE+kKRµΩ\"%,-]{0,8}", which in 0..EVERY.len()) {
        if let Ok(value) = parse(&text, EVERY[which]) {
            prop_assert!(EVERY[which].sensible().contains(&value));
        }
    }
}

// Preferred values

/// IEC 60063:2015, table 1, series E24.
const E24: [u8; 24] = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];
/// The same, series E12.
const E12: [u8; 12] = [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82];
/// The same, series E6.
const E6: [u8; 6] = [10, 15, 22, 33, 47, 68];

#[test]
fn the_series_are_those_of_iec_60063() {
    assert!(Series::E24.decade().eq(E24));
    assert!(Series::E12.decade().eq(E12));
    assert!(Series::E6.decade().eq(E6));
}

#[test]
fn rounding_powers_of_ten_gets_27_to_47_and_82_wrong_so_the_series_is_a_table() {
    let naive: Vec<u8> = (0..24).map(|n| (10.0 * 10f64.powf(f64::from(n) / 24.0)).round() as u8).collect();
    let wrong: Vec<u8> =
        E24.into_iter().zip(&naive).filter(|&(value, &naive)| value != naive).map(|(value, _)| value).collect();
    assert_eq!(wrong, [27, 30, 33, 36, 39, 43, 47, 82]);
    for value in wrong {
        assert_eq!(nearest_preferred(f64::from(value) * 1e3, Series::E24), f64::from(value) * 1e3);
    }
}

#[test]
fn the_nearest_value_is_nearest_in_ratio_and_the_number_a_document_would_have() {
    assert_eq!(nearest_preferred(46e-9, Series::E12), parse("47n", Quantity::Capacitance).unwrap());
    assert_eq!(nearest_preferred(250e3, Series::E24), 240e3); // 250k is no preferred value
    assert_eq!(nearest_preferred(9.6e3, Series::E6), 10e3);
    assert_eq!(nearest_preferred(12.2, Series::E6), 10.0); // sqrt(10 x 15) = 12.247 divides them
    assert_eq!(nearest_preferred(12.3, Series::E6), 15.0);
}

#[test]
fn values_between_two_limits_ascend_and_include_them() {
    let between = Series::E6.between(10e-9, 100e-9);
    assert_eq!(between, [10e-9, 15e-9, 22e-9, 33e-9, 47e-9, 68e-9, 100e-9]);
    assert!(Series::E24.between(-1.0, 10.0).is_empty() && Series::E24.between(10.0, 1.0).is_empty());
    assert!(Series::E24.between(1.0, f64::INFINITY).is_empty() && Series::E24.between(f64::NAN, 1.0).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_value_of_a_series_is_nearer_than_the_nearest(exponent in -12.0..9.0f64) {
        let value = 10f64.powf(exponent);
        let nearest = nearest_preferred(value, Series::E24);
        let off = |candidate: f64| (candidate / value).ln().abs();
        for decade in -14..=9 {
            for digits in E24 {
                let candidate = f64::from(digits) * 10f64.powi(decade);
                prop_assert!(off(nearest) <= off(candidate) + 1e-12, "{} for {}, not {}", nearest, value, candidate);
            }
        }
    }
}

// Marking

/// Source: IEC 60062, its examples R47, 4R7, 4K7 and 47K3 among them; capacitors likewise (2n2, 47n, 4p7).
#[test]
fn values_are_marked_with_the_letter_where_the_point_would_be() {
    let resistances = [
        (0.47, "R47"),
        (4.7, "4R7"),
        (47.0, "47R"),
        (4.7e3, "4K7"),
        (47.3e3, "47K3"),
        (250e3, "250K"),
        (1e6, "1M"),
        (2.2e6, "2M2"),
        (999.96, "1K"),
    ];
    for (value, code) in resistances {
        assert_eq!(dryfit_dsp::units::marking(value, Quantity::Resistance).as_deref(), Some(code), "{value}");
    }
    for (value, code) in
        [(4.7e-12, "4p7"), (2.2e-9, "2n2"), (47e-9, "47n"), (1e-6, "1µ"), (0.47e-12, "p47"), (330e-12, "330p")]
    {
        assert_eq!(dryfit_dsp::units::marking(value, Quantity::Capacitance).as_deref(), Some(code), "{value}");
    }
    assert_eq!(dryfit_dsp::units::marking(2.4, Quantity::Inductance), None);
}

/// What is marked is read back as the same value.
#[test]
fn a_marking_is_read_back_as_the_value_it_was_made_from() {
    for series in [Series::E12, Series::E24] {
        for value in series.between(1.0, 9.1e6) {
            let code = dryfit_dsp::units::marking(value, Quantity::Resistance).unwrap();
            let read =
                dryfit_dsp::units::parse(&code, Quantity::Resistance).unwrap_or_else(|error| panic!("{code}: {error}"));
            assert!((read / value - 1.0).abs() < 1e-9, "{value} {code} {read}");
        }
        for value in series.between(1e-12, 9.1e-7) {
            let code = dryfit_dsp::units::marking(value, Quantity::Capacitance).unwrap();
            let read = dryfit_dsp::units::parse(&code, Quantity::Capacitance)
                .unwrap_or_else(|error| panic!("{code}: {error}"));
            assert!((read / value - 1.0).abs() < 1e-9, "{value} {code} {read}");
        }
    }
}
