//! Documents as they are written: guitars, wirings, add-ons, switches, sounds; and the [`Assembly`] of a wiring with a
//! guitar, in which every name is resolved. Every problem is reported, with its place and what would mend it.

mod add_on;
mod assembly;
mod guitar;
mod guitar_reader;
mod library;
mod problem;
mod reader;
mod sounds;
mod switch;
mod taper;
mod wiring;

pub use add_on::{Action, AddOn, Step};
pub use assembly::{AssembledKind, AssembledPart, Assembly, ControlPlan};
pub use guitar::{Coil, Coupling, Guitar, GuitarString, Magnet, Pickup, Plate, StringMaterial, Winding};
pub use library::{DocumentKind, Library};
pub use problem::{Problem, ProblemKind, Problems, Severity, suggestion};
pub use reader::FORMAT;
pub use sounds::{KnobAction, KnobWish, Sound, Sounds, Voice};
pub use switch::{Pole, Switch, SwitchKind, SwitchPosition};
pub use taper::Taper;
pub use wiring::{Joint, Part, PartKind, Pot, Wiring};
