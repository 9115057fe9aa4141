//! Where each part, lug and wire lies, in millimetres: a pictorial diagram of the parts from their lug side, and a
//! schematic in symbols of IEC 60617.
//!
//! [`pictorial`] and [`schematic`] make a [`Drawing`] of an assembly: plain geometry that anybody can paint; [`to_svg`]
//! paints it as SVG. [`Live`] says which of its wires and contacts carry the signal for given controls. Everything is
//! deterministic: one assembly, one drawing.

mod canvas;
mod geometry;
mod harness;
mod live;
mod palette;
mod parts;
mod pictorial;
mod route;
mod schematic;
mod shape;
mod svg;
mod tags;
mod text;

pub use geometry::{
    Contact, Drawing, DrawnKind, DrawnPart, LegendEntry, Lug, LugPlace, Point, Rect, Shape, Text, TextRole, View, Wire,
};
pub use harness::Connection;
pub use live::Live;
pub use palette::{DARK, GAP, GLOW, Ink, LIGHT, LINK, OUTLINE, Palette, Rgb, WIRE};
pub use pictorial::pictorial;
pub use schematic::schematic;
pub use svg::{Style, to_svg};
pub use tags::earth;
