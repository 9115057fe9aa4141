//! The build sheet: what is handed over to be soldered and checked, as one HTML file that needs nothing else.

mod finder;
mod measured;
mod page;
mod parts;
mod readings;
mod wires;

pub use finder::{Finding, report};
pub use measured::measured;
pub use page::page;
