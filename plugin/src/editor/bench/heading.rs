//! Which wiring is on the bench, with which add-ons.

use egui::{Align2, Button, ComboBox, PopupCloseBehavior, Rect, Sense, Stroke, StrokeKind, Ui, UiBuilder, vec2};

use crate::editor::action::Action;
use crate::editor::choice::{choose, name_widget};
use crate::editor::desk::Desk;
use crate::editor::memory::Aside;
use crate::editor::model::{BenchId, Listen};
use crate::editor::paper::{caption, split_left, split_top};
use crate::editor::style::{BODY, TITLE, font};

/// Height of a bench's head.
pub const HEIGHT: f32 = 82.0;

/// Letter and wiring; add-ons; copy, swap, text.
pub fn show(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let (first, rest) = split_top(rect, 26.0, 4.0);
    let (second, rest) = split_top(rest, 22.0, 4.0);
    let (third, _) = split_top(rest, 22.0, 0.0);
    let (letter, wiring) = split_left(first, 28.0, 6.0);
    show_letter(ui, letter, desk, bench);
    show_wiring(ui, wiring, desk, bench);
    show_add_ons(ui, second, desk, bench);
    show_buttons(ui, third, desk, bench);
}

fn show_letter(ui: &Ui, rect: Rect, desk: &Desk, bench: BenchId) {
    let color = desk.palette.bench(bench);
    let sounds = !desk.model.is_blind() && desk.model.listen == if bench == BenchId::A { Listen::A } else { Listen::B };
    let (fill, text) = if sounds { (color, desk.palette.sheet) } else { (desk.palette.sheet, color) };
    ui.painter().rect(rect, 3.0, fill, Stroke::new(1.5, color), StrokeKind::Inside);
    ui.painter().text(rect.center(), Align2::CENTER_CENTER, bench.letter(), font(TITLE), text);
    let tip = if sounds { "This bench sounds." } else { "This bench does not sound now." };
    ui.interact(rect, ui.scope_id().with(("letter", bench)), Sense::hover()).on_hover_text(tip);
}

fn show_wiring(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let view = desk.model.bench(bench);
    let changed = if view.changed { " (changed)" } else { "" };
    let shown = egui::RichText::new(format!("{}{changed}", view.title)).size(BODY + 1.0);
    let name = format!("wiring of bench {}", bench.letter());
    let choices = &desk.model.choices.wirings;
    if let Some(chosen) = choose(ui, rect, &name, shown, choices, &view.wiring, &view.about) {
        desk.act(Action::ChooseWiring { bench, name: chosen });
    }
}

fn show_add_ons(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let add_ons = &desk.model.bench(bench).add_ons;
    let fitted: Vec<&str> = add_ons.iter().filter(|one| one.fitted).map(|one| one.title.as_str()).collect();
    let text = if fitted.is_empty() { "no add-on".to_owned() } else { format!("+ {}", fitted.join(", + ")) };
    let name = format!("add-ons of bench {}", bench.letter());
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect));
    let list = ComboBox::from_id_salt(&name)
        .selected_text(text)
        .width(rect.width())
        .truncate()
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .show_ui(&mut child, |ui| {
            for add_on in add_ons {
                let mut fitted = add_on.fitted;
                let response =
                    ui.add_enabled_ui(add_on.refused.is_none() || fitted, |ui| ui.checkbox(&mut fitted, &add_on.title));
                let tip = add_on.refused.as_deref().unwrap_or("Fits onto this wiring.");
                if response.inner.on_hover_text(tip).on_disabled_hover_text(tip).changed() {
                    desk.act(Action::FitAddOn { bench, name: add_on.name.clone(), fitted });
                }
            }
        });
    name_widget(ui, &list.response, &name);
}

fn show_buttons(ui: &mut Ui, rect: Rect, desk: &mut Desk, bench: BenchId) {
    let other = bench.other().letter();
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let mut child = ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    child.spacing_mut().button_padding = vec2(7.0, 2.0);
    let mut button = |text: String, tip: String| child.add(Button::new(text).small()).on_hover_text(tip).clicked();
    let tip = format!("Puts this wiring, its add-ons and its values on bench {other} too.");
    if button(format!("copy to {other}"), tip) {
        desk.act(Action::CopyBench { from: bench });
    }
    if button("swap A, B".into(), "Bench A becomes B, and B becomes A.".into()) {
        desk.act(Action::SwapBenches);
    }
    if button(
        format!("text of {}", bench.letter()),
        "The wiring's document: read, edit, copy, paste, open, save.".into(),
    ) {
        desk.memory.toggle(Aside::Document(bench));
    }
    if desk.model.bench(bench).working {
        child
            .add(egui::Label::new(caption("working …", desk.palette)).selectable(false))
            .on_hover_text("This edit is being worked out; until then what was there before sounds.");
    }
}
