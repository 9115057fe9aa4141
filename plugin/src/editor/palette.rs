//! Colours by role; two themes of one palette.
//!
//! A, B, live and warning keep apart for the three common colour-vision deficiencies, every text meets WCAG AA on what
//! it stands on; `tests/tests/editor/colours.rs` measures both. Nothing is said by colour alone: A is a whole line, B a
//! dashed one, a warning has a sign, the live path is thicker.

use egui::Color32;

use super::memory::Theme;
use super::model::BenchId;

/// Colours by role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// What the sheets lie on.
    pub paper: Color32,
    /// Sheets: benches, plot, controls, asides.
    pub sheet: Color32,
    /// Fields to type in, buttons.
    pub field: Color32,
    /// A field or button under the pointer.
    pub field_hot: Color32,
    /// What is chosen: a button that is down, text that is selected.
    pub chosen: Color32,
    /// Text and drawn lines.
    pub ink: Color32,
    /// Lesser text.
    pub faint: Color32,
    /// Edges of sheets and tables, lines of the grid.
    pub rule: Color32,
    /// Bench A.
    pub a: Color32,
    /// Bench B.
    pub b: Color32,
    /// Bench A as the ground of a row.
    pub a_wash: Color32,
    /// Bench B as the ground of a row.
    pub b_wash: Color32,
    /// The take as it is.
    pub dry: Color32,
    /// The live path.
    pub live: Color32,
    /// The live path as the ground of a row: lit.
    pub live_wash: Color32,
    /// Ground nets.
    pub ground: Color32,
    /// Warnings and refusals.
    pub warning: Color32,
    /// The take's spectrum.
    pub spectrum: Color32,
}

/// Workshop paper.
pub const LIGHT: Palette = Palette {
    paper: Color32::from_rgb(0xEA, 0xE9, 0xE2),
    sheet: Color32::from_rgb(0xFA, 0xFA, 0xF6),
    field: Color32::from_rgb(0xF0, 0xEF, 0xE9),
    field_hot: Color32::from_rgb(0xE3, 0xE3, 0xDA),
    chosen: Color32::from_rgb(0xD2, 0xD3, 0xC8),
    ink: Color32::from_rgb(0x1E, 0x24, 0x2B),
    faint: Color32::from_rgb(0x55, 0x5D, 0x63),
    rule: Color32::from_rgb(0xCB, 0xCA, 0xC0),
    a: Color32::from_rgb(0x23, 0x50, 0xD8),
    b: Color32::from_rgb(0x85, 0x52, 0x00),
    a_wash: Color32::from_rgb(0xE4, 0xE9, 0xF8),
    b_wash: Color32::from_rgb(0xF4, 0xEA, 0xD8),
    dry: Color32::from_rgb(0x52, 0x57, 0x5C),
    live: Color32::from_rgb(0x00, 0x38, 0x32),
    live_wash: Color32::from_rgb(0xD9, 0xEE, 0xE6),
    ground: Color32::from_rgb(0x5E, 0x5B, 0x50),
    warning: Color32::from_rgb(0xBC, 0x12, 0x68),
    spectrum: Color32::from_rgb(0xE2, 0xE3, 0xDC),
};

/// For a dark room.
pub const DARK: Palette = Palette {
    paper: Color32::from_rgb(0x12, 0x16, 0x19),
    sheet: Color32::from_rgb(0x1C, 0x21, 0x25),
    field: Color32::from_rgb(0x28, 0x2E, 0x33),
    field_hot: Color32::from_rgb(0x35, 0x3C, 0x42),
    chosen: Color32::from_rgb(0x4A, 0x53, 0x5A),
    ink: Color32::from_rgb(0xE9, 0xE8, 0xE1),
    faint: Color32::from_rgb(0xA6, 0xAD, 0xB1),
    rule: Color32::from_rgb(0x3F, 0x47, 0x4D),
    a: Color32::from_rgb(0x8C, 0xA4, 0xFF),
    b: Color32::from_rgb(0xF5, 0xB3, 0x35),
    a_wash: Color32::from_rgb(0x24, 0x2C, 0x45),
    b_wash: Color32::from_rgb(0x39, 0x2F, 0x1C),
    dry: Color32::from_rgb(0xB4, 0xB9, 0xBC),
    live: Color32::from_rgb(0x6F, 0xF0, 0xDC),
    live_wash: Color32::from_rgb(0x19, 0x38, 0x36),
    ground: Color32::from_rgb(0xA9, 0xA2, 0x92),
    warning: Color32::from_rgb(0xFF, 0x74, 0x86),
    spectrum: Color32::from_rgb(0x2B, 0x32, 0x37),
};

impl Palette {
    /// The colours of a theme.
    pub fn of(theme: Theme) -> &'static Self {
        match theme {
            Theme::Light => &LIGHT,
            Theme::Dark => &DARK,
        }
    }

    /// A bench's colour.
    pub fn bench(&self, bench: BenchId) -> Color32 {
        match bench {
            BenchId::A => self.a,
            BenchId::B => self.b,
        }
    }

    /// A bench's colour as the ground of a row.
    pub fn wash(&self, bench: BenchId) -> Color32 {
        match bench {
            BenchId::A => self.a_wash,
            BenchId::B => self.b_wash,
        }
    }
}
