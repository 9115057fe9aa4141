//! Documents as they are written: guitars, wirings, add-ons, switches, sounds.

mod guitar;

pub use guitar::{Coil, Coupling, Guitar, GuitarString, Magnet, Pickup, Plate, StringMaterial, Winding};
