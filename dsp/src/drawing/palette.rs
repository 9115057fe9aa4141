//! Colours of nets, told apart by every eye; and what repeats when there are more nets than colours.
//!
//! The colours are Dryfit's own choice and say nothing about any maker's wires. `tests/tests/drawing/colours.rs` measures
//! their contrast and their distance for the three common colour-vision deficiencies. Nothing is said by colour alone:
//! every wire also carries its number in the wire list, and ground is thicker.

use crate::document::Assembly;

/// Red, green and blue, 0 to 255 (sRGB).
pub type Rgb = [u8; 3];

/// Colours by role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// The page.
    pub paper: Rgb,
    /// Outlines and texts.
    pub ink: Rgb,
    /// Lesser texts.
    pub faint: Rgb,
    /// The body of a part.
    pub body: Rgb,
    /// Ground.
    pub ground: Rgb,
    /// What wires that carry the signal are lit with, from behind.
    pub glow: Rgb,
    /// The nets, in turn.
    pub nets: [Rgb; 6],
}

/// How a net is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ink {
    /// Its colour.
    pub colour: Rgb,
    /// Whether it is ground, which is drawn thicker.
    pub ground: bool,
    /// How often the palette was used up before it: 0 is a whole line, 1 a dashed one, 2 a dotted one and so on.
    pub round: usize,
}

/// Dash and gap of the line between parts that move together, in millimetres.
pub const LINK: [f64; 2] = [1.6, 1.1];

/// On paper.
pub const LIGHT: Palette = Palette {
    paper: [0xFF, 0xFF, 0xFF],
    ink: [0x1E, 0x24, 0x2B],
    faint: [0x55, 0x5D, 0x63],
    body: [0xF1, 0xF0, 0xEA],
    ground: [0x5E, 0x5B, 0x50],
    glow: [0xFF, 0xE0, 0x66],
    nets: [
        [0x23, 0x00, 0xDC],
        [0x68, 0x0E, 0x00],
        [0x00, 0x57, 0x70],
        [0x65, 0x00, 0x8E],
        [0x8A, 0x64, 0x00],
        [0x0D, 0x6B, 0xFF],
    ],
};

/// On a dark screen.
pub const DARK: Palette = Palette {
    paper: [0x1C, 0x21, 0x25],
    ink: [0xE9, 0xE8, 0xE1],
    faint: [0xA6, 0xAD, 0xB1],
    body: [0x2B, 0x32, 0x37],
    ground: [0xA9, 0xA2, 0x92],
    glow: [0x4D, 0x53, 0x20],
    nets: [
        [0xF3, 0x85, 0xD5],
        [0xFF, 0x78, 0x33],
        [0x09, 0xFF, 0xA0],
        [0xD1, 0x7D, 0xFF],
        [0xE4, 0xF3, 0x44],
        [0xB5, 0xFF, 0xF7],
    ],
};

/// Thickness of outlines, in millimetres.
pub const OUTLINE: f64 = 0.35;
/// Thickness of a wire, in millimetres.
pub const WIRE: f64 = 0.65;
/// Thickness of ground, in millimetres.
pub const GROUND: f64 = 1.0;
/// Width of the gap that a wire leaves in one that it goes over, in millimetres.
pub const GAP: f64 = 3.4 * WIRE;
/// Thickness of the light behind a live wire, in millimetres.
pub const GLOW: f64 = 2.2;

impl Ink {
    /// Thickness of its wires, in millimetres.
    pub fn thickness(&self) -> f64 {
        if self.ground { GROUND } else { WIRE }
    }

    /// Dashes and gaps in turn, in millimetres, of the palette's rounds: whole (none), dashed, dotted, dash and dot, and
    /// longer ones.
    pub fn dashes(&self) -> Vec<f64> {
        match self.round {
            0 => Vec::new(),
            1 => vec![3.0, 1.6],
            2 => vec![0.3, 1.6],
            3 => vec![4.0, 1.6, 0.3, 1.6],
            more => vec![2.0 * more as f64, 1.6],
        }
    }
}

impl Palette {
    /// How a joint of an assembly is drawn.
    pub fn ink(&self, joint: usize) -> Ink {
        match joint {
            Assembly::GROUND => Ink { colour: self.ground, ground: true, round: 0 },
            _ => {
                let place = joint - 1;
                Ink { colour: self.nets[place % self.nets.len()], ground: false, round: place / self.nets.len() }
            }
        }
    }
}
