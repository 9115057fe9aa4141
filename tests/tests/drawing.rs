//! The drawings: both are legible for every preset and for wirings at random, show every wire, and come out the same
//! twice.

#[path = "drawing/carried.rs"]
mod carried;
#[path = "drawing/colours.rs"]
mod colours;
#[path = "drawing/found.rs"]
mod found;
#[path = "drawing/legible.rs"]
mod legible;
#[path = "drawing/live.rs"]
mod live;
#[path = "drawing/random.rs"]
mod random;
#[path = "drawing/svg.rs"]
mod svg;
#[path = "drawing/wires.rs"]
mod wires;

use dryfit_dsp::document::{Assembly, DocumentKind, Library};
use dryfit_dsp::drawing::{Drawing, pictorial, schematic};
use dryfit_tests::circuits::assembly;

/// Every preset wiring, plain and with what fits it, on a guitar that carries its pickups.
fn presets() -> Vec<(String, Assembly)> {
    let library = Library::presets();
    let mut names: Vec<String> = library.names(DocumentKind::Wiring).map(str::to_string).collect();
    names.extend(
        [
            "five-way-master-tone+treble-bleed-series",
            "five-way-two-tones+treble-bleed-parallel",
            "two-pickups+bass-cut",
        ]
        .map(String::from),
    );
    let guitar = |name: &str| if name.starts_with("two-pickups") { "two-single-coils" } else { "three-single-coils" };
    names.into_iter().map(|name| (name.clone(), assembly(&name, guitar(&name)))).collect()
}

/// Both drawings of an assembly.
fn drawings(assembly: &Assembly) -> [Drawing; 2] {
    [pictorial(assembly), schematic(assembly)]
}
