//! The palette: colours that carry a meaning keep apart for every eye.

use dryfit_plugin::editor::{DARK, LIGHT, Palette};
use egui::Color32;

type Matrix = [[f64; 3]; 3];

/// Linear sRGB as protanopes, deuteranopes and tritanopes see it. Source: Machado, Oliveira and Fernandes, "A
/// Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE TVCG 15 (6), 2009, severity 1.0.
const DEFICIENCIES: [(&str, Matrix); 3] = [
    ("protanopia", [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    (
        "deuteranopia",
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    ),
    ("tritanopia", [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
];
const NORMAL: Matrix = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
/// Linear sRGB to CIE XYZ, D65. Source: IEC 61966-2-1.
const TO_XYZ: Matrix = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
const WHITE: [f64; 3] = [0.9505, 1.0, 1.089];

fn linear(color: Color32) -> [f64; 3] {
    [color.r(), color.g(), color.b()].map(|level| {
        let level = f64::from(level) / 255.0;
        if level <= 0.04045 { level / 12.92 } else { ((level + 0.055) / 1.055).powf(2.4) }
    })
}

fn multiply(matrix: &Matrix, vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum())
}

/// Contrast of two colours. Source: WCAG 2.1, "contrast ratio" and "relative luminance".
pub fn contrast(one: Color32, other: Color32) -> f64 {
    let luminance = |color| multiply(&TO_XYZ, linear(color))[1] + 0.05;
    let (a, b) = (luminance(one), luminance(other));
    a.max(b) / a.min(b)
}

/// CIE 1976 L*a*b* of linear sRGB. Source: CIE 15, 8.2.1.
fn lab(linear: [f64; 3]) -> [f64; 3] {
    let xyz = multiply(&TO_XYZ, linear.map(|level| level.clamp(0.0, 1.0)));
    let f =
        |t: f64| if t > (6.0f64 / 29.0).powi(3) { t.cbrt() } else { t * (29.0f64 / 6.0).powi(2) / 3.0 + 4.0 / 29.0 };
    let [x, y, z] = [0, 1, 2].map(|index| f(xyz[index] / WHITE[index]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

fn distance(seen_as: &Matrix, one: Color32, other: Color32) -> f64 {
    let (a, b) = (lab(multiply(seen_as, linear(one))), lab(multiply(seen_as, linear(other))));
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

fn meaningful(palette: &Palette) -> [(&'static str, Color32); 4] {
    [("A", palette.a), ("B", palette.b), ("live", palette.live), ("warning", palette.warning)]
}

/// The measure itself, before it measures anything. Source: WCAG 2.1 (21 to 1 for black and white); CIE L*a*b* of sRGB red,
/// 53.2, 80.1, 67.2, value from memory, good to a unit.
#[test]
fn the_measures_of_colour_are_those_of_their_sources() {
    assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 0.01);
    let red = lab(linear(Color32::from_rgb(255, 0, 0)));
    assert!(red.iter().zip([53.2, 80.1, 67.2]).all(|(is, should)| (is - should).abs() < 1.0), "{red:?}");
}

/// 20 units of CIE 1976 colour difference, some nine times the difference that is just seen (2.3: Mahy, Van Eycken and
/// Oosterlinck 1994), and two to three times what is told apart at a glance on thin lines (common practice, no source).
#[test]
fn a_b_live_and_warning_keep_apart_for_every_eye_in_both_themes() {
    for (theme, palette) in [("light", LIGHT), ("dark", DARK)] {
        for (eye, seen_as) in DEFICIENCIES.into_iter().chain([("normal", NORMAL)]) {
            let colours = meaningful(&palette);
            for (index, (name, one)) in colours.iter().enumerate() {
                for (other_name, other) in &colours[index + 1..] {
                    let distance = distance(&seen_as, *one, *other);
                    assert!(distance >= 20.0, "{theme}, {eye}: {name} and {other_name} are {distance:.1} apart");
                }
            }
        }
    }
}

/// WCAG 2.1, success criterion 1.4.11: 3 to 1 for what is drawn and must be understood.
#[test]
fn every_drawn_line_that_means_something_stands_out_from_its_sheet() {
    for (theme, palette) in [("light", LIGHT), ("dark", DARK)] {
        let lines = [("dry", palette.dry), ("ground", palette.ground), ("idle", palette.faint), ("ink", palette.ink)];
        for (name, color) in meaningful(&palette).into_iter().chain(lines) {
            let contrast = contrast(color, palette.sheet);
            assert!(contrast >= 3.0, "{theme}: {name} has {contrast:.2}");
        }
    }
}
