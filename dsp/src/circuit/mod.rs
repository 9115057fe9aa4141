//! From an assembled wiring to one response per pickup.
//!
//! [`lower`] turns an assembly into a [`Netlist`]; [`Mna`] solves it exactly at any frequency; [`CompiledWiring`] folds
//! every combination of switches once, so that a knob costs next to nothing; [`check`] finds what cannot work.

mod band;
mod coil;
mod combinations;
mod compiled;
mod controls;
mod elimination;
mod error;
mod grid;
mod linear;
mod lower;
mod meter;
mod mna;
mod multiport;
mod netlist;
pub mod settings;
mod sounding;
pub mod standing;
mod validity;

pub use band::{Band, dc_band};
pub use combinations::combinations;
pub use compiled::{CompiledWiring, Responses};
pub use controls::{Controls, Load};
pub use error::CircuitError;
pub use grid::Grid;
pub use lower::{Loaded, Lowered, closed_lugs, joined, lower};
pub use meter::{dc_at_jack, dc_resistance, noise_density};
pub use mna::Mna;
pub use netlist::{Element, ElementKind, Netlist, Node};
pub use sounding::{ON_DB, levels, sounding};
pub use validity::{check, describe, describe_switches};
