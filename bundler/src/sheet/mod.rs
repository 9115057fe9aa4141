//! The build sheet: what is handed over to be soldered and checked, as one HTML file that needs nothing else.

mod page;
mod parts;
mod readings;
mod surveyed;
mod wires;

pub use page::page;
