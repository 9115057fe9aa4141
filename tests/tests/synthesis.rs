//! Ground-truth takes: the instrument that conversions are measured with is measured itself.

#[path = "strings/guitar.rs"]
mod guitar;
#[path = "synthesis/measure.rs"]
mod measure;
#[path = "synthesis/partials.rs"]
mod partials;
#[path = "synthesis/takes.rs"]
mod takes;
