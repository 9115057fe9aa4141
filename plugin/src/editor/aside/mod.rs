//! What opens over the benches: never a window, always closed by the same key and the same button.

mod blind;
mod calibration;
mod document;
mod drawing;
mod faults;
mod find;
mod keys;
mod recorded;
mod sounds;
mod text;

use egui::{Align, Button, Rect, RichText, Ui};

use super::desk::Desk;
use super::memory::Aside;
use super::paper::{cell, region, sheet, split_left, split_top};
use super::style::TITLE;

/// The aside that is open. A blind comparison that is going on stays in front.
pub fn open(desk: &Desk) -> Option<Aside> {
    if desk.model.is_blind() { Some(Aside::Blind) } else { desk.memory.aside }
}

/// An aside with its title and the button that closes it.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk, aside: Aside) {
    let inside = sheet(ui, rect, desk.palette).shrink(4.0);
    let (head, body) = split_top(inside, 26.0, 8.0);
    let (title, close) = split_left(head, head.width() - 62.0, 6.0);
    let name = title_of(aside);
    cell(ui, title, RichText::new(&name).size(TITLE), Align::Min);
    if !desk.model.is_blind()
        && ui.put(close, Button::new("close")).on_hover_text("Back to the benches: key Esc").clicked()
    {
        desk.memory.aside = None;
    }
    region(ui, body, &name, |ui| match aside {
        Aside::Recorded => recorded::show(ui, desk),
        Aside::Calibration => calibration::show(ui, body, desk),
        Aside::Document(bench) => document::show(ui, body, desk, bench),
        Aside::Sounds(bench) => sounds::show(ui, desk, bench),
        Aside::Faults(bench) => faults::show(ui, desk, bench),
        Aside::Find => find::show(ui, body, desk),
        Aside::Drawing(bench) => drawing::show(ui, body, desk, bench),
        Aside::Blind => blind::show(ui, desk),
        Aside::Keys => keys::show(ui, desk),
    });
}

fn title_of(aside: Aside) -> String {
    match aside {
        Aside::Recorded => "as recorded".into(),
        Aside::Calibration => "your guitar, measured".into(),
        Aside::Document(bench) => format!("text of bench {}", bench.letter()),
        Aside::Sounds(bench) => format!("sounds of bench {}", bench.letter()),
        Aside::Faults(bench) => format!("fault finder, wiring of bench {}", bench.letter()),
        Aside::Find => "wiring for the sounds you want".into(),
        Aside::Drawing(bench) => format!("wiring of bench {}, drawn", bench.letter()),
        Aside::Blind => "blind comparison".into(),
        Aside::Keys => "what the keys do".into(),
    }
}
