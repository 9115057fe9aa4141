//! Strings: stiffness, what a pickup senses at its place, prior energies, and the table that the conversion reads.

#[path = "strings/energies.rs"]
mod energies;
#[path = "strings/guitar.rs"]
mod guitar;
#[path = "strings/sensing.rs"]
mod sensing;
#[path = "strings/stiffness.rs"]
mod stiffness;
#[path = "strings/table.rs"]
mod table;
