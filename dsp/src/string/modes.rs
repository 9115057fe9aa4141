//! A stiff string's partials and wavelengths.
//!
//! Fletcher 1964 (Normal vibration frequencies of a stiff piano string): f_n = n f0 sqrt(1 + B n^2), with
//! B = pi^3 E d^4 / (64 T L^2) for a round core of diameter d.

use std::f64::consts::PI;

use crate::document::{Guitar, GuitarString, StringMaterial};

/// Young's modulus of steel wire, in pascals. Quoted between 190 and 207 GPa for music wire; the rounded middle, from
/// memory.
pub const STEEL_MODULUS: f64 = 200e9;
/// Density of music wire, in kg/m^3; from memory.
pub const STEEL_DENSITY: f64 = 7850.0;
/// Density of a nickel-plated winding, in kg/m^3: steel (7850) with about 8 % of nickel (8900); shares from memory. A
/// winding of pure nickel is 12 % heavier, which makes the string 10 % less inharmonic than this says.
const NICKEL_PLATED_DENSITY: f64 = 7930.0;
/// Density of a winding of magnetic (ferritic or martensitic) stainless steel, in kg/m^3; from memory.
const STAINLESS_DENSITY: f64 = 7750.0;
/// Share of the space around the core that a winding fills. Round wire of diameter w, turn touching turn, has
/// (pi w^2 / 4) of metal for every w^2 of space; that the turns lie on a helix is neglected (below 1 %).
const WINDING_PACKING: f64 = PI / 4.0;

/// A string, open or fretted, by what its partials depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StiffString {
    /// f0 in f_n = n f0 sqrt(1 + B n^2), in hertz. Taken as the pitch of the document: the first partial lies above it by
    /// B/2, less than 0.1 cent on a guitar.
    pub fundamental: f64,
    /// B in f_n = n f0 sqrt(1 + B n^2).
    pub inharmonicity: f64,
    /// Vibrating length, in metres.
    pub length: f64,
}

impl StiffString {
    /// The open string on a guitar of that scale length (in metres). A measured inharmonicity wins over the derived one.
    pub fn open(string: &GuitarString, scale_length: f64) -> Self {
        let inharmonicity = string.inharmonicity.unwrap_or_else(|| inharmonicity(string, scale_length));
        Self { fundamental: string.pitch, inharmonicity, length: scale_length }
    }

    /// All open strings of a guitar, from the lowest to the highest.
    pub fn all(guitar: &Guitar) -> Vec<Self> {
        guitar.strings.iter().map(|string| Self::open(string, guitar.scale_length)).collect()
    }

    /// The same string pressed down at a fret (of twelve to the octave; fractions lie between frets): shorter at the same
    /// tension, therefore f0 2^(fret/12) and B 2^(fret/6).
    pub fn fretted(&self, fret: f64) -> Self {
        let shorter = (fret / 12.0).exp2();
        Self {
            fundamental: self.fundamental * shorter,
            inharmonicity: self.inharmonicity * shorter * shorter,
            length: self.length / shorter,
        }
    }

    /// Frequency of partial `n` (1 is the lowest), in hertz: n f0 sqrt(1 + B n^2).
    pub fn partial(&self, n: usize) -> f64 {
        let n = n as f64;
        n * self.fundamental * (1.0 + self.inharmonicity * n * n).sqrt()
    }

    /// The same string pulled tighter, until it sounds `ratio` as high: f0 rises with the root of the tension, and B, which is
    /// stiffness against tension, falls with its square.
    pub fn stretched(&self, ratio: f64) -> Self {
        Self {
            fundamental: self.fundamental * ratio,
            inharmonicity: self.inharmonicity / (ratio * ratio),
            length: self.length,
        }
    }

    /// Wavenumber k of a wave of frequency `hertz` on this string, in radians per metre: the dispersion law above solved
    /// for n, times pi / L. The same for an open and a fretted string.
    pub fn wavenumber(&self, hertz: f64) -> f64 {
        let harmonic = hertz / self.fundamental;
        // The textbook form (-1 + sqrt(1 + 4 B r^2)) / 2B loses its digits as B goes to 0; this is the same number.
        let root = (1.0 + 4.0 * self.inharmonicity * harmonic * harmonic).sqrt();
        harmonic * (2.0 / (1.0 + root)).sqrt() * PI / self.length
    }

    /// How many partials lie below a frequency, in hertz.
    pub fn partials_below(&self, hertz: f64) -> usize {
        let count = (self.wavenumber(hertz) * self.length / PI).ceil() as usize;
        count.saturating_sub(1)
    }
}

/// Inharmonicity B of the open string, derived from core, material, tuning and scale length (in metres).
///
/// The tension in Fletcher's equation is that which tunes the string, T = mu (2 L f)^2. For a plain string of gauge d that
/// leaves B = pi^2 E d^2 / (64 rho L^4 f^2). For a wound string the core alone is stiff (the turns of the winding touch
/// but do not carry bending; a hexagonal core counts as a round one of its diameter) while mu is the whole string's.
pub fn inharmonicity(string: &GuitarString, scale_length: f64) -> f64 {
    let bending = PI.powi(3) * STEEL_MODULUS * core(string).powi(4);
    bending / (64.0 * tension(string, scale_length) * scale_length * scale_length)
}

/// Tension of the open string, in newtons: T = mu (2 L f)^2.
pub fn tension(string: &GuitarString, scale_length: f64) -> f64 {
    mass_per_length(string) * (2.0 * scale_length * string.pitch).powi(2)
}

/// Mass per length mu, in kg/m: the core, and around it round wire wound turn to turn.
pub fn mass_per_length(string: &GuitarString) -> f64 {
    let core = core(string);
    let around = PI / 4.0 * (string.gauge * string.gauge - core * core);
    PI / 4.0 * core * core * STEEL_DENSITY + around * WINDING_PACKING * winding_density(string.material)
}

/// Diameter of what carries the stiffness, in metres.
fn core(string: &GuitarString) -> f64 {
    if string.material == StringMaterial::PlainSteel { string.gauge } else { string.core.min(string.gauge) }
}

fn winding_density(material: StringMaterial) -> f64 {
    match material {
        StringMaterial::PlainSteel => STEEL_DENSITY,
        StringMaterial::NickelWound => NICKEL_PLATED_DENSITY,
        StringMaterial::SteelWound => STAINLESS_DENSITY,
    }
}
