//! What a wiring gives in numbers, against the exact solver, textbooks, ngspice and the trade.

#[path = "survey/distances.rs"]
mod distances;
#[path = "survey/figures.rs"]
mod figures;
#[path = "survey/meter.rs"]
mod meter;
#[path = "survey/tolerances.rs"]
mod tolerances;
