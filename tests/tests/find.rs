//! From sounds to a wiring and back: reading a table off a circuit, and finding the wiring for a table.

#[path = "find/fixtures.rs"]
mod fixtures;
#[path = "find/small.rs"]
mod small;

#[path = "find/bad_input.rs"]
mod bad_input;
#[path = "find/brute_force.rs"]
mod brute_force;
#[path = "find/circuits.rs"]
mod circuits;
#[path = "find/possible.rs"]
mod possible;
#[path = "find/reading.rs"]
mod reading;
#[path = "find/round_trip.rs"]
mod round_trip;
