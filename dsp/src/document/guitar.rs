//! A guitar as its document describes it: strings, and what each pickup is and where it sits.

use serde::{Deserialize, Serialize};

/// A guitar: scale length, strings from the lowest to the highest, pickups from the bridge to the neck.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Guitar {
    /// What the guitar is, for people.
    pub title: String,
    /// Where its values come from, for people.
    pub about: String,
    /// Length of an open string between nut and bridge, in metres.
    pub scale_length: f64,
    /// From the lowest to the highest.
    pub strings: Vec<GuitarString>,
    /// From the bridge to the neck.
    pub pickups: Vec<Pickup>,
    /// Coils that share flux.
    pub couplings: Vec<Coupling>,
}

/// One string.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GuitarString {
    /// Fundamental of the open string, in hertz.
    pub pitch: f64,
    /// Outer diameter, in metres.
    pub gauge: f64,
    /// Diameter of the core that carries the stiffness, in metres; the gauge itself for a plain string.
    pub core: f64,
    /// What the string is made of.
    pub material: StringMaterial,
    /// B in f_n = n f0 sqrt(1 + B n^2) for the open string, when it was measured; otherwise derived from the gauge.
    pub inharmonicity: Option<f64>,
}

/// What a string is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StringMaterial {
    /// Plain steel wire.
    PlainSteel,
    /// Steel core, wound with nickel or nickel-plated steel.
    NickelWound,
    /// Steel core, wound with stainless steel.
    SteelWound,
}

/// One single-coil pickup.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pickup {
    /// The name that wirings use: `bridge`, `middle`, `neck`.
    pub name: String,
    /// Distance from the bridge along the lowest string, in metres.
    pub distance_low: f64,
    /// Distance from the bridge along the highest string, in metres.
    pub distance_high: f64,
    /// Length of string that the pickup averages over, in metres.
    pub sensing_width: f64,
    /// Depth of its comb's nulls below the comb's tops, in dB (negative).
    pub null_depth_db: f64,
    /// Output relative to the other pickups, in dB, for the same string motion under it.
    pub output_db: f64,
    /// What the circuit model does not know (height, magnets): knots of hertz and dB, ascending; may be empty.
    pub voicing: Vec<(f64, f64)>,
    /// Sense of the winding, seen from above, from the hot lead on.
    pub winding: Winding,
    /// Pole of the magnet that faces the strings.
    pub magnet: Magnet,
    /// Whether a metal cover or base plate is joined to the pickup's own ground lead, which must then stay on ground.
    #[serde(default)]
    pub grounded_cover: bool,
    /// The electrical model.
    pub coil: Coil,
}

/// Sense of a winding seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Winding {
    /// Clockwise.
    Clockwise,
    /// Counter-clockwise.
    CounterClockwise,
}

/// Pole that faces the strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Magnet {
    /// North pole up.
    North,
    /// South pole up.
    South,
}

/// A coil as an EMF in series with resistance and inductance, an eddy-current branch across the inductance, and the
/// winding capacitance across it all.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Coil {
    /// DC resistance, in ohms.
    pub resistance: f64,
    /// Inductance, in henries.
    pub inductance: f64,
    /// Winding capacitance, in farads.
    pub capacitance: f64,
    /// Resistance of the eddy-current branch across the inductance, in ohms; none for a coil without metal.
    pub eddy_resistance: Option<f64>,
    /// A metal plate under the coil, or a cover over it.
    pub plate: Option<Plate>,
}

/// A base plate or cover: a shorted turn near the coil.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Plate {
    /// Factor on the inductance (a steel plate raises it, above 1).
    pub inductance_factor: f64,
    /// Resistance of the plate's own eddy-current branch across the inductance, in ohms.
    pub eddy_resistance: f64,
}

/// Two coils that share flux.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Coupling {
    /// The two pickups' names.
    pub between: [String; 2],
    /// Coefficient of coupling k, between -1 and 1, positive when currents into both hot leads aid each other.
    pub coefficient: f64,
}

impl Guitar {
    /// The pickup of that name.
    pub fn pickup(&self, name: &str) -> Option<&Pickup> {
        self.pickups.iter().find(|pickup| pickup.name == name)
    }
}

impl Pickup {
    /// Distance from the bridge under string `index` of `count` (0 is the lowest), in metres: linear from the lowest
    /// to the highest string, as a slanted pickup lies.
    pub fn distance(&self, index: usize, count: usize) -> f64 {
        if count < 2 {
            return self.distance_low;
        }
        let share = index as f64 / (count - 1) as f64;
        self.distance_low + share * (self.distance_high - self.distance_low)
    }

    /// +1 or -1: the sign of the EMF that a string gives, by winding sense and magnet polarity together. A pickup
    /// that is reverse wound with reverse polarity has the sign of an ordinary one, while its hum is reversed.
    pub fn signal_sign(&self) -> f64 {
        self.hum_sign() * if self.magnet == Magnet::North { 1.0 } else { -1.0 }
    }

    /// +1 or -1: the sign of the EMF that a magnetic hum field gives, by winding sense alone.
    pub fn hum_sign(&self) -> f64 {
        if self.winding == Winding::Clockwise { 1.0 } else { -1.0 }
    }
}
