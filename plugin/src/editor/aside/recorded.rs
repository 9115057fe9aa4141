//! What the take was made with, and the guitar.

use egui::{Align, Button, Rect, RichText, ScrollArea, Sense, Ui, vec2};

use crate::editor::action::{Action, DocumentId, Field};
use crate::editor::choice::choose;
use crate::editor::controls::{DIAL_HEIGHT, DRAWING_HEIGHT, board};
use crate::editor::desk::Desk;
use crate::editor::field::{FieldLook, value_field};
use crate::editor::memory::Aside;
use crate::editor::model::{BenchId, PickupRow, Place};
use crate::editor::notices::notice_line;
use crate::editor::paper::{caption, cell, heading, heading_beside, split_left};
use crate::editor::style::{BODY, ROW};

/// Guitar and its pickups, wiring, controls, cable and input.
pub fn show(ui: &mut Ui, desk: &mut Desk) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        opening(ui, desk);
        wiring(ui, desk);
        ui.add_space(8.0);
        guitar(ui, desk);
    });
}

fn opening(ui: &mut Ui, desk: &Desk) {
    if let Some(assumed) = &desk.model.recorded.assumed {
        ui.label(RichText::new(assumed).color(desk.palette.faint));
    }
    for notice in desk.model.notices.iter().filter(|notice| notice.place == Place::Recorded) {
        notice_line(ui, desk.palette, notice);
    }
}

fn wiring(ui: &mut Ui, desk: &mut Desk) {
    heading(ui, "wiring in the guitar, and where the controls stood", desk.palette);
    let recorded = &desk.model.recorded;
    let choices = &desk.model.choices.wirings;
    let title = title(choices, &recorded.wiring);
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
    let (list, buttons) = if row.width() < 420.0 {
        (row, ui.allocate_exact_size(row.size(), Sense::hover()).0)
    } else {
        split_left(row, row.width() - 186.0, 6.0)
    };
    if let Some(name) = choose(ui, list, "wiring as recorded", title.into(), choices, &recorded.wiring, "") {
        desk.act(Action::ChooseRecordedWiring(name));
    }
    let (a, b) = split_left(buttons, 87.0, 6.0);
    let b = split_left(b, 87.0, 0.0).0;
    for (place, bench) in [(a, BenchId::A), (b, BenchId::B)] {
        let button = Button::new(format!("as bench {}", bench.letter())).small();
        let tip = "The guitar is wired like this bench, and its controls stood as they stand now.";
        if ui.put(place, button).on_hover_text(tip).clicked() {
            desk.act(Action::RecordedAsBench(bench));
        }
    }
    ui.add_space(6.0);
    let height = DRAWING_HEIGHT + 8.0 + DIAL_HEIGHT;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    board(ui, rect, desk, &recorded.controls);
}

fn guitar(ui: &mut Ui, desk: &mut Desk) {
    let beside = heading_beside(ui, "guitar", desk.palette, 96.0);
    let tip = "Guides through ruler, meter and recordings, and makes a guitar document of what they say.";
    if ui.put(beside, Button::new("measure it …").small()).on_hover_text(tip).clicked() {
        desk.memory.aside = Some(Aside::Calibration);
    }
    let recorded = &desk.model.recorded;
    let choices = &desk.model.choices.guitars;
    let (row, _) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
    let (list, buttons) = split_left(row, row.width() - 132.0, 6.0);
    if let Some(name) =
        choose(ui, list, "guitar", title(choices, &recorded.guitar).into(), choices, &recorded.guitar, "")
    {
        desk.act(Action::ChooseGuitar(name));
    }
    let (open, save) = split_left(buttons, 63.0, 6.0);
    if ui.put(open, Button::new("open …").small()).on_hover_text("Opens a guitar from a file.").clicked() {
        desk.act(Action::OpenDocument(DocumentId::Guitar));
    }
    let tip = "Saves the guitar as it stands here among your own; it then appears in the list.";
    if ui.put(save, Button::new("save …").small()).on_hover_text(tip).clicked() {
        desk.act(Action::SaveDocument(DocumentId::Guitar));
    }
    show_title(ui, desk);
    ui.label(caption(&recorded.about_guitar, desk.palette));
    ui.add_space(4.0);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 18.0), Sense::hover());
    let words = ["pickup", "low string", "high string", "coil and winding"];
    for (index, (place, word)) in columns(rect).into_iter().zip(words).enumerate() {
        cell(ui, place, caption(word, desk.palette), if (1..=2).contains(&index) { Align::Max } else { Align::Min });
    }
    for pickup in &recorded.pickups {
        show_pickup(ui, desk, pickup);
    }
    let advice = "Distances from the bridge to the middle of the pickup, under the lowest and the highest string. A ruler \
                  is enough: 2 % is as good as exact, 5 % costs a little, guessed ones undo the gain of estimating.";
    ui.label(caption(advice, desk.palette));
}

/// What the guitar is called, to tell it from others when it is saved.
fn show_title(ui: &mut Ui, desk: &mut Desk) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let (label, field) = split_left(rect.shrink2(vec2(4.0, 0.0)), 56.0, 6.0);
    cell(ui, label, caption("title", desk.palette), Align::Min);
    let tip = "What the guitar is called in lists, and when it is saved.";
    let value = &desk.model.recorded.guitar_title;
    let look = FieldLook { value, name: "title of the guitar", tip, hint: "", size: BODY, align: Align::Min };
    value_field(ui, field.shrink2(vec2(0.0, 1.0)), desk, &Field::GuitarTitle, &look);
    crate::editor::field::refusal_slip(ui, desk, &Field::GuitarTitle, field);
}

fn show_pickup(ui: &mut Ui, desk: &mut Desk, pickup: &PickupRow) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let [name, low, high, coil] = columns(rect);
    cell(ui, name, RichText::new(&pickup.name), Align::Min);
    for (place, value, is_low) in [(low, &pickup.low, true), (high, &pickup.high, false)] {
        let string = if is_low { "low" } else { "high" };
        let field = Field::PickupDistance { pickup: pickup.name.clone(), low: is_low };
        let name = format!("distance of {} pickup under the {string} string", pickup.name);
        let tip = "Distance from the bridge, such as 45 mm or 1.77 in.";
        let look = FieldLook { value, name: &name, tip, hint: "", size: BODY, align: Align::Max };
        value_field(ui, place.shrink2(vec2(0.0, 1.0)), desk, &field, &look);
        crate::editor::field::refusal_slip(ui, desk, &field, place);
    }
    let what = if pickup.sense.is_empty() { pickup.coil.clone() } else { format!("{}, {}", pickup.coil, pickup.sense) };
    cell(ui, coil, caption(what, desk.palette), Align::Min);
}

fn columns(rect: Rect) -> [Rect; 4] {
    let (name, rest) = split_left(rect.shrink2(vec2(4.0, 0.0)), 56.0, 6.0);
    let (low, rest) = split_left(rest, 68.0, 6.0);
    let (high, coil) = split_left(rest, 68.0, 8.0);
    [name, low, high, coil]
}

fn title(choices: &[crate::editor::model::Choice], name: &str) -> String {
    choices.iter().find(|choice| choice.name == name).map_or_else(|| name.to_owned(), |choice| choice.title.clone())
}
