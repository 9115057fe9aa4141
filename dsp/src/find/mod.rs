//! Between the sounds table and the wiring, both ways.
//!
//! [`read_off`] reads the table off a wiring's circuit: which pickups sound where, and what each knob does there. [`find`] goes the
//! other way: the wiring with the fewest wires that gives exactly a table, or the proof that there is none.

mod apart;
mod bound;
mod clauses;
mod counters;
mod finder;
mod joints;
mod nets;
mod network;
mod order;
mod poles;
mod proof;
mod rank;
mod reading;
mod request;
mod search;
mod sets;
mod signature;
mod spared;
mod task;
mod together;
mod wish;
mod words;
mod writing;

pub use clauses::Progress;
pub use finder::{Effort, Found, Outcome, find, problems};
pub use network::Network;
pub use proof::Impossible;
pub use reading::{Effect, Reading, Row, read_off, read_row};
