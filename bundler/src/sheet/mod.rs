//! The build sheet: what is handed over to be soldered and checked, as one HTML file that needs nothing else.

mod finder;
mod measured;
mod page;
mod parts;
mod readings;
mod surveyed;
mod wires;

pub use finder::{Finding, report};
pub use measured::{doubts, measured};
pub use page::page;
