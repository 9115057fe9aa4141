//! The editor: a workshop drawing that sounds. A pure function of what it is shown.
//!
//! [`show`] paints a [`ViewModel`] (plain data, everything already computed) and reports what the user did as
//! [`Action`]s. It changes nothing itself; what only the screen knows (theme, open aside, half-typed text) is in
//! [`Memory`].

mod action;
mod aside;
mod bench;
mod choice;
mod controls;
mod desk;
mod field;
mod footer;
mod graph;
mod header;
mod keyboard;
mod layout;
mod memory;
mod model;
mod notices;
mod palette;
mod paper;
mod style;
mod tabs;
mod tray;
mod wiring;

pub use action::{Action, ControlId, DocumentId, Field, Measure};
pub use memory::{Aside, CalibrationStep, Memory, Theme};
pub use model::*;
pub use palette::{DARK, LIGHT, Palette};

use desk::Desk;
use layout::{Layout, Side};
use paper::{region, sheet};

/// The size the editor opens at, in points.
pub const OPENS_AT: [f32; 2] = [1180.0, 760.0];
/// The least size at which everything fits, in points.
pub const LEAST_SIZE: [f32; 2] = [900.0, 620.0];

/// Shows the whole editor, filling `ui`, and appends what the user did to `actions`.
pub fn show(ui: &mut egui::Ui, model: &ViewModel, memory: &mut Memory, actions: &mut Vec<Action>) {
    style::apply(ui, memory.theme);
    let palette = Palette::of(memory.theme);
    let mut desk = Desk { model, memory, actions, palette };
    // A window that is too small cuts the picture off; it does not crush it.
    let screen = egui::Rect::from_min_size(ui.max_rect().min, ui.max_rect().size().max(LEAST_SIZE.into()));
    ui.painter().rect_filled(screen, 0.0, palette.paper);
    keyboard::listen(ui, &mut desk);
    let aside = aside::open(&desk);
    let layout = Layout::new(screen, aside.is_some());
    // In the order of the tab key: what you hear first, then the controls, the tray, the benches.
    region(ui, layout.header, "as recorded and what you hear", |ui| header::show(ui, layout.header, &mut desk));
    let graph = sheet(ui, layout.graph, palette);
    region(ui, graph, "response", |ui| graph::show(ui, graph, &mut desk));
    let controls = sheet(ui, layout.controls, palette);
    region(ui, controls, "controls", |ui| controls::show(ui, controls, &mut desk));
    let tray = sheet(ui, layout.tray, palette);
    region(ui, tray, "parts tray", |ui| tray::show(ui, tray, &mut desk));
    match (layout.side, aside) {
        (Side::Benches(places), _) => {
            for (bench, place) in BenchId::BOTH.into_iter().zip(places) {
                bench::show(ui, place, &mut desk, bench);
            }
        }
        (Side::OneBench { tabs, bench }, _) => {
            tabs::show(ui, tabs, &mut desk);
            let front = desk.memory.front;
            bench::show(ui, bench, &mut desk, front);
        }
        (Side::Aside(place), aside) => {
            if let Some(aside) = aside {
                aside::show(ui, place, &mut desk, aside);
            }
        }
    }
    region(ui, layout.footer, "messages", |ui| footer::show(ui, layout.footer, &mut desk));
}
