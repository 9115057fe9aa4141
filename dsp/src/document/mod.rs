//! Documents as they are written: guitars, wirings, add-ons, switches, sounds; and the [`Assembly`] of a wiring with a
//! guitar, in which every name is resolved. Every problem is reported, with its place and what would mend it.

mod add_on;
mod add_on_reader;
mod assembly;
mod builder;
mod control_plan;
mod couplings;
mod fitting;
mod guitar;
mod guitar_reader;
mod joining;
mod library;
mod limits;
mod part_checks;
mod problem;
mod reader;
mod section;
mod sounds;
mod spelling;
mod suggestion;
mod switch;
mod syntax;
mod taper;
mod tolerance;
mod values;
mod wiring;
mod wiring_reader;

pub use add_on::{Action, AddOn, Step};
pub use assembly::{AssembledKind, AssembledPart, Assembly};
pub use control_plan::ControlPlan;
pub use guitar::{Coil, Coupling, Guitar, GuitarString, Magnet, Pickup, Plate, StringMaterial, Winding};
pub use library::{DocumentKind, Library};
pub use problem::{Problem, ProblemKind, Problems, Severity};
pub use reader::FORMAT;
pub use sounds::{KnobAction, KnobWish, Mix, Setting, Sound, Sounds};
pub(crate) use spelling::{key, quoted};
pub use suggestion::suggestion;
pub use switch::{Pole, Switch, SwitchKind, SwitchPosition};
pub use taper::Taper;
pub use tolerance::COIL_TOLERANCE;
pub use wiring::{Joint, Part, PartKind, Pot, Wiring};
