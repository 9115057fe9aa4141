//! The palette of nets: every colour stands out from the page, and any two keep apart for every eye.

use dryfit_dsp::drawing::{DARK, LIGHT, Palette, Rgb};

type Matrix = [[f64; 3]; 3];

/// Linear sRGB as protanopes, deuteranopes and tritanopes see it. Source: Machado, Oliveira and Fernandes, "A
/// Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE TVCG 15 (6), 2009, severity 1.0.
const EYES: [(&str, Matrix); 4] = [
    ("protanopia", [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    (
        "deuteranopia",
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    ),
    ("tritanopia", [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
    ("normal", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
];
/// Linear sRGB to CIE XYZ, D65. Source: IEC 61966-2-1.
const TO_XYZ: Matrix = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
const WHITE: [f64; 3] = [0.9505, 1.0, 1.089];

fn linear(colour: Rgb) -> [f64; 3] {
    colour.map(|level| {
        let level = f64::from(level) / 255.0;
        if level <= 0.04045 { level / 12.92 } else { ((level + 0.055) / 1.055).powf(2.4) }
    })
}

fn multiply(matrix: &Matrix, vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum())
}

/// Contrast of two colours. Source: WCAG 2.1, "contrast ratio" and "relative luminance".
fn contrast(one: Rgb, other: Rgb) -> f64 {
    let luminance = |colour| multiply(&TO_XYZ, linear(colour))[1] + 0.05;
    let (a, b) = (luminance(one), luminance(other));
    a.max(b) / a.min(b)
}

/// CIE 1976 colour difference as an eye sees it. Source: CIE 15, 8.2.1.
fn distance(eye: &Matrix, one: Rgb, other: Rgb) -> f64 {
    let lab = |colour: Rgb| {
        let seen = multiply(eye, linear(colour)).map(|level| level.clamp(0.0, 1.0));
        let xyz = multiply(&TO_XYZ, seen);
        let f = |t: f64| {
            if t > (6.0f64 / 29.0).powi(3) { t.cbrt() } else { t * (29.0f64 / 6.0).powi(2) / 3.0 + 4.0 / 29.0 }
        };
        let [x, y, z] = [0, 1, 2].map(|index| f(xyz[index] / WHITE[index]));
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    };
    lab(one).iter().zip(lab(other)).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

fn themes() -> [(&'static str, Palette); 2] {
    [("light", LIGHT), ("dark", DARK)]
}

/// WCAG 2.1, success criterion 1.4.11: 3 to 1 for what is drawn; 1.4.3: 4.5 to 1 for texts, and numbers are in their
/// net's colour.
#[test]
fn every_net_and_text_stands_out_from_the_page() {
    for (theme, palette) in themes() {
        for colour in palette.nets.into_iter().chain([palette.ink, palette.faint, palette.ground]) {
            let contrast = contrast(colour, palette.paper);
            assert!(contrast >= 4.5, "{theme}: {colour:02x?} has {contrast:.2}");
        }
        for colour in [palette.ink, palette.faint] {
            assert!(contrast(colour, palette.body) >= 4.5, "{theme}: {colour:02x?} on a part");
        }
        for colour in palette.nets {
            assert!(contrast(colour, palette.glow) >= 3.0, "{theme}: {colour:02x?} when lit");
        }
    }
}

/// 20 units, some nine times the difference that is just seen (2.3: Mahy, Van Eycken and Oosterlinck 1994), as for the
/// editor's colours. Numbers, and dashes where there are more nets than colours, say the same without colour.
#[test]
fn any_two_nets_keep_apart_for_every_eye() {
    for (theme, palette) in themes() {
        let colours: Vec<Rgb> = palette.nets.into_iter().chain([palette.ground]).collect();
        for (eye, matrix) in &EYES {
            for (index, &one) in colours.iter().enumerate() {
                for &other in &colours[index + 1..] {
                    let distance = distance(matrix, one, other);
                    assert!(distance >= 20.0, "{theme}, {eye}: {one:02x?} and {other:02x?} are {distance:.1} apart");
                }
            }
        }
    }
}

/// What is drawn the same must be the same net: the palette's rounds differ by their dashes.
#[test]
fn no_two_nets_of_a_large_wiring_are_drawn_alike() {
    let inks: Vec<_> = (0..=64).map(|joint| LIGHT.ink(joint)).collect();
    for (index, one) in inks.iter().enumerate() {
        assert!(!inks[index + 1..].contains(one), "joint {index}");
    }
}
