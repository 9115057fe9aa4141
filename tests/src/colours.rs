//! Contrast and distance of colours, as sources and eyes have them. Colours are sRGB, 0 to 255.

/// Rows of a 3 x 3 matrix.
pub type Matrix = [[f64; 3]; 3];

/// Linear sRGB as protanopes, deuteranopes, tritanopes and others see it. Source: Machado, Oliveira and Fernandes, "A
/// Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE TVCG 15 (6), 2009, severity 1.0.
pub const EYES: [(&str, Matrix); 4] = [
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

/// Contrast of two colours, 1 to 21. Source: WCAG 2.1, "contrast ratio" and "relative luminance".
pub fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
    let luminance = |colour| multiply(&TO_XYZ, linear(colour))[1] + 0.05;
    let (a, b) = (luminance(one), luminance(other));
    a.max(b) / a.min(b)
}

/// CIE 1976 colour difference as an eye of [`EYES`] sees it. Source: CIE 15, 8.2.1.
pub fn distance(eye: &Matrix, one: [u8; 3], other: [u8; 3]) -> f64 {
    let (a, b) = (lab(multiply(eye, linear(one))), lab(multiply(eye, linear(other))));
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
}

/// Linear light of a colour, 0 to 1. Source: IEC 61966-2-1.
pub fn linear(colour: [u8; 3]) -> [f64; 3] {
    colour.map(|level| {
        let level = f64::from(level) / 255.0;
        if level <= 0.04045 { level / 12.92 } else { ((level + 0.055) / 1.055).powf(2.4) }
    })
}

/// CIE 1976 L*a*b* of linear light. Source: CIE 15, 8.2.1.
pub fn lab(linear: [f64; 3]) -> [f64; 3] {
    let xyz = multiply(&TO_XYZ, linear.map(|level| level.clamp(0.0, 1.0)));
    let f =
        |t: f64| if t > (6.0f64 / 29.0).powi(3) { t.cbrt() } else { t * (29.0f64 / 6.0).powi(2) / 3.0 + 4.0 / 29.0 };
    let [x, y, z] = [0, 1, 2].map(|index| f(xyz[index] / WHITE[index]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

fn multiply(matrix: &Matrix, vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum())
}
